"""Tables of a TOML file held against a pydantic model; what is wrong becomes Problems with their places."""

from collections.abc import Iterator
from typing import Any, Final, TypeVar, get_args, get_origin

from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from pearlkerf.errors import Problem
from pearlkerf.lengths import Unit, shown
from pearlkerf.toml_tables import Tables, dotted
from pearlkerf.toml_values import Checked, WrongValue, nearest


class Table(BaseModel):
    """A table with these keys and no others."""

    model_config = ConfigDict(extra="forbid", strict=True)


MODEL_LEVELS: Final = 4  # file, list of tables, table, key: as deep as a mistake can be cut out
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
            problems += _told(model, errors)
        data, left = _without(data, [error["loc"] for error in errors], model)
        if not left:
            return None, _placed(problems, tables)


def _placed(problems: list[Problem], tables: Tables) -> list[Problem]:
    placed = [tables.places.put(problem) for problem in dict.fromkeys(problems)]
    return sorted(placed, key=lambda problem: (problem.line or 0, problem.column or 0))


def _told(model: type[Table], errors: list[ErrorDetails]) -> list[Problem]:
    """Give a problem for each mistake; a key that is missing because it is mistyped is told once."""
    near = {error["loc"]: _near_key(model, error["loc"]) for error in errors if error["type"] == "extra_forbidden"}
    meant = {(*where[:-1], name) for where, name in near.items()}
    problems = []
    for error in errors:
        where: Where = error["loc"]
        if error["type"] == "extra_forbidden":
            problems.append(_unknown_key(model, where, near[where]))
        elif error["type"] != "missing":
            problems.append(_wrong_value(model, error))
        elif where not in meant:
            problems.append(_missing_key(model, where))
    return problems


def _near_key(model: type[Table], where: Where) -> str:
    return nearest(str(where[-1]), list(_model_at(model, where[:-1]).model_fields))


def _unknown_key(model: type[Table], where: Where, near: str) -> Problem:
    names = list(_model_at(model, where[:-1]).model_fields)
    name, table = str(where[-1]), dotted(where[:-1]) or "the file's top"
    homes = [home for home, field in model.model_fields.items()
             if (inner := _table_in(field.annotation)) and name in inner.model_fields]  # fmt: skip
    hint = f'did you mean "{near}"?' if near else f"it belongs in {' or '.join(f'[{home}]' for home in homes)}"
    allowed = f"{table} may hold {', '.join(names)}"
    return Problem(f'unknown key "{name[:80]}"', allowed, hint if near or homes else "", dotted(where))


def _missing_key(model: type[Table], where: Where) -> Problem:
    key, name = dotted(where), str(where[-1])
    field = _model_at(model, where[:-1]).model_fields[name]
    inner = _table_in(field.annotation)
    if inner is None:
        return Problem("the key is missing", _allowed(field), f"write {name} = …", key)
    needed = [part for part, inside in inner.model_fields.items() if inside.is_required()]
    header = f"[{key}]" if isinstance(field.annotation, type) else f"[[{key}]]"
    return Problem("the table is missing", f"{header} with {', '.join(needed)}", f"add the table {header}", key)


def _wrong_value(model: type[Table], error: ErrorDetails) -> Problem:
    where: Where = error["loc"]
    cause = error.get("ctx", {}).get("error")
    if isinstance(cause, WrongValue):
        return Problem(cause.found, cause.allowed, cause.hint, dotted(where))
    if isinstance(where[-1], int) or error["type"] != "list_type":  # an element of a list of tables, or a table
        return Problem(
            f"{_kind(error['input'])} cannot stand here", f"a table, {_header(model, where)}", "", dotted(where)
        )
    field = _model_at(model, where[:-1]).model_fields[str(where[-1])]
    wanted = "a list, such as [3, 5, 7]" if _table_in(field.annotation) is None else f"tables, {_header(model, where)}"
    return Problem(f"{_kind(error['input'])} cannot stand here", wanted, "", dotted(where))


def _kind(value: object) -> str:
    return "a table" if isinstance(value, dict) else "a list" if isinstance(value, list) else shown(value)


def _header(model: type[Table], where: Where) -> str:
    name = next(part for part in reversed(where) if isinstance(part, str))
    single = isinstance(where[-1], str) and not _is_list(model, where)
    return f"[{name}]" if single else f"[[{name}]]"


def _is_list(model: type[Table], where: Where) -> bool:
    return get_origin(_model_at(model, where[:-1]).model_fields[str(where[-1])].annotation) is list


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


def _allowed(field: FieldInfo) -> str:
    kinds = (*field.metadata, *(part for inner in get_args(field.annotation) for part in get_args(inner)))
    told = next((str(kind.allowed) for kind in kinds if isinstance(kind, Checked) and hasattr(kind, "allowed")), "")
    return f"a list, each {told}" if get_origin(field.annotation) is list else told


def _without(data: dict[str, Any], places: list[Where], model: type[Table]) -> tuple[dict[str, Any], bool]:
    """Give the data without the mistakes at these places; False where a part that must be there goes."""
    rest, left = _copied(data, MODEL_LEVELS), True
    for where in places:
        cut = next(_removable(model, where), None)
        if cut is None:
            left = False
        else:
            _remove(rest, cut)
    return rest, left


def _removable(model: type[Table], where: Where) -> Iterator[Where]:
    """Give what may be left out to be rid of a mistake: the key itself if optional, else its nearest table."""
    for length in range(len(where), 0, -1):
        name = where[length - 1]
        if not isinstance(name, str):
            continue
        field = _model_at(model, where[: length - 1]).model_fields.get(name)
        if field is None or not field.is_required():
            yield where[:length]


def _copied(data: Any, levels: int) -> Any:
    if levels and isinstance(data, dict):
        return {key: _copied(part, levels - 1) for key, part in data.items()}
    if levels and isinstance(data, list):
        return [_copied(part, levels - 1) for part in data]
    return data


def _remove(data: Any, where: Where) -> None:
    for part in where[:-1]:
        if isinstance(data, dict) and part not in data:
            return  # went with its table
        data = data[part]
    data.pop(where[-1], None)
