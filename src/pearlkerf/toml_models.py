"""Tables of a TOML file held against a pydantic model; what is wrong becomes Problems with their places."""

from collections.abc import Iterator
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic_core import ErrorDetails

from pearlkerf.errors import Problem
from pearlkerf.lengths import Unit, shown
from pearlkerf.toml_tables import Tables, dotted
from pearlkerf.toml_values import Checked, WrongValue, nearest


class Table(BaseModel):
    """A table with these keys and no others."""

    model_config = ConfigDict(extra="forbid", strict=True)


Read = TypeVar("Read", bound=Table)
Where = tuple[str | int, ...]


def read_model(model: type[Read], tables: Tables, unit: Unit | None) -> tuple[Read | None, list[Problem]]:
    """Read tables into a model, as much of them as can be.

    Gives every problem, placed, in one go.  Unknown keys are left out, and so are tables that may be
    absent and hold a mistake; the model is None only where what must be there is missing or wrong.
    """
    data, problems = tables.data, list[Problem]()
    while True:
        try:
            return model.model_validate(data, context={"unit": unit}), _placed(problems, tables)
        except ValidationError as wrong:
            errors = wrong.errors(include_url=False)
            problems += [_problem(model, error) for error in errors]
        data, left = _without(data, [error["loc"] for error in errors], model)
        if not left:
            return None, _placed(problems, tables)


def _placed(problems: list[Problem], tables: Tables) -> list[Problem]:
    return [tables.places.put(problem) for problem in dict.fromkeys(problems)]


def _problem(model: type[Table], error: ErrorDetails) -> Problem:
    where: Where = error["loc"]
    key = dotted(where)
    if error["type"] == "extra_forbidden":
        names = list(_model_at(model, where[:-1]).model_fields)
        near = nearest(str(where[-1]), names)
        hint = f'did you mean "{near}"?' if near else ""
        table = dotted(where[:-1]) or "the file's top"
        return Problem(f'unknown key "{str(where[-1])[:80]}"', f"{table} may hold {', '.join(names)}", hint, key)
    if error["type"] == "missing":
        return Problem("the key is missing", _allowed_at(model, where), f"write {where[-1]} = …", key)
    cause = error.get("ctx", {}).get("error")
    if isinstance(cause, WrongValue):
        return Problem(cause.found, cause.allowed, cause.hint, key)
    wanted = {"list_type": "a list, such as [3, 5, 7]", "model_type": f"a table, [{key}]"}
    return Problem(f"{shown(error['input'])} cannot stand here", wanted.get(error["type"], error["msg"]), "", key)


def _model_at(model: type[Table], where: Where) -> type[Table]:
    for part in where:
        if isinstance(part, str) and part in model.model_fields:
            model = _table_in(model.model_fields[part].annotation) or model
    return model


def _table_in(annotation: Any) -> type[Table] | None:
    """Give the table that an annotation such as ``Blank | None`` or ``list[Cutter]`` holds."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    return next((found for part in get_args(annotation) if (found := _table_in(part))), None)


def _allowed_at(model: type[Table], where: Where) -> str:
    field = _model_at(model, where[:-1]).model_fields.get(str(where[-1]))
    kinds = field.metadata if field else []
    return next(
        (kind.allowed for kind in kinds if isinstance(kind, Checked) and hasattr(kind, "allowed")), "it is needed"
    )


def _without(data: dict[str, Any], places: list[Where], model: type[Table]) -> tuple[dict[str, Any], bool]:
    """Give the data without the mistakes at these places; False where a part that must be there goes."""
    left = True
    for where in places:
        cut = next(_removable(model, where), None)
        if cut is None:
            left = False
            continue
        data = _removed(data, cut)
    return data, left


def _removable(model: type[Table], where: Where) -> Iterator[Where]:
    """Give what may be left out to be rid of a mistake: the key itself if optional, else its nearest table."""
    for length in range(len(where), 0, -1):
        name = where[length - 1]
        if not isinstance(name, str):
            continue
        field = _model_at(model, where[: length - 1]).model_fields.get(name)
        if field is None or not field.is_required():
            yield where[:length]


def _removed(data: Any, where: Where) -> Any:
    if isinstance(data, list) and isinstance(where[0], int) and where[0] < len(data):
        return [_removed(part, where[1:]) if index == where[0] else part for index, part in enumerate(data)]
    if not isinstance(data, dict) or where[0] not in data:
        return data
    if len(where) == 1:
        return {key: value for key, value in data.items() if key != where[0]}
    return {**data, where[0]: _removed(data[where[0]], where[1:])}
