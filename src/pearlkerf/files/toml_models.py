"""Tables of a TOML file held against their models; what is wrong becomes Problems with their places."""

from collections.abc import Callable, Iterator
from functools import cache
from typing import Any, Final, TypeVar

import voluptuous as vol

from pearlkerf.errors import Problem
from pearlkerf.files.lengths import Unit, shown
from pearlkerf.files.toml_keys import Key, Table, keys_of
from pearlkerf.files.toml_tables import Tables, dotted
from pearlkerf.files.toml_values import WrongValue, nearest

MODEL_LEVELS: Final = 4  # file, list of tables, table, key: as deep as a mistake can be cut out
Read = TypeVar("Read", bound=Table)
Where = tuple[str | int, ...]
Take = Callable[[Any], Any]


class WrongHere(vol.Invalid):
    """A value that its kind refuses, and why."""

    def __init__(self, why: WrongValue) -> None:
        super().__init__(why.found)
        self.why = why


def read_model(model: type[Read], tables: Tables, unit: Unit | None) -> tuple[Read | None, list[Problem]]:
    """Read tables into a model, as much of them as can be.

    Gives every problem, placed, in one go.  Unknown keys are left out, and so are tables that may be
    absent and hold a mistake; the model is None only where what must be there is missing or wrong.
    """
    data, problems = tables.data, list[Problem]()
    take = _taker_of_table(model, unit)  # type: ignore[arg-type]
    while True:
        try:
            return take(data), _placed(problems, tables)
        except vol.MultipleInvalid as wrong:
            errors = sorted(((error, _where(error)) for error in wrong.errors), key=lambda each: _order(model, each[1]))
            problems += _told(model, errors, tables.data)
        data, left = _without(data, [where for _, where in errors], model)
        if not left:
            return None, _placed(problems, tables)


@cache
def _taker_of_table(model: type[Table], unit: Unit | None) -> Take:
    """Give what makes a table of a dict, or raises MultipleInvalid with its mistakes; made once for each kind."""
    keys = {
        (vol.Required if key.required else vol.Optional)(name): _taker(key, unit)
        for name, key in keys_of(model).items()
    }
    schema = vol.Schema(keys)
    return lambda value: model(**schema(value))


def _taker_of_tables(model: type[Table], unit: Unit | None) -> Take:
    """Give what makes tables of a list of dicts, or raises MultipleInvalid with the mistakes of all of them."""
    take_one = _taker_of_table(model, unit)  # type: ignore[arg-type]

    def take(value: Any) -> list[Table]:
        if not isinstance(value, list):
            raise vol.SequenceTypeInvalid("expected a list")
        taken, errors = [], []
        for index, each in enumerate(value):
            try:
                taken.append(take_one(each))
            except vol.MultipleInvalid as wrong:
                wrong.prepend([index])
                errors += wrong.errors
        if errors:
            raise vol.MultipleInvalid(errors)
        return taken

    return take


def _taker(key: Key, unit: Unit | None) -> Any:
    """Give what takes the value of a key: a table, a list, or a value of a kind."""
    if key.table is not None:
        if key.many:
            return _taker_of_tables(key.table, unit)
        return _taker_of_table(key.table, unit)  # type: ignore[arg-type]
    kind = key.kind
    assert kind is not None  # a key that holds no table has a kind

    def take(value: object) -> Any:
        try:
            return kind.take(value, unit)
        except WrongValue as why:
            raise WrongHere(why) from None

    return [take] if key.many else take


def _order(model: type[Table], where: Where) -> tuple[int, ...]:
    """Give where a key stands in the models: mistakes are told in that order, whatever finds them."""
    places = []
    for depth, part in enumerate(where):
        names = list(keys_of(_model_at(model, where[:depth])))
        places.append(part if isinstance(part, int) else names.index(part) if part in names else len(names))
    return tuple(places)


def _where(error: vol.Invalid) -> Where:
    return tuple(part if isinstance(part, int) else str(part) for part in error.path)


def _placed(problems: list[Problem], tables: Tables) -> list[Problem]:
    placed = [tables.places.put(problem) for problem in dict.fromkeys(problems)]
    return sorted(placed, key=lambda problem: (problem.line or 0, problem.column or 0))


def _told(model: type[Table], errors: list[tuple[vol.Invalid, Where]], data: object) -> list[Problem]:
    """Give a problem for each mistake; a key that is missing because it is mistyped is told once."""
    unknown = {where: _near_key(model, where) for error, where in errors if _is_unknown(model, error, where)}
    meant = {(*where[:-1], name) for where, name in unknown.items()}
    problems = []
    for error, where in errors:
        if where in unknown:
            problems.append(_unknown_key(model, where, unknown[where]))
        elif not isinstance(error, vol.RequiredFieldInvalid):
            problems.append(_wrong_value(model, error, where, _at(data, where)))
        elif where not in meant:
            problems.append(_missing_key(model, where))
    return problems


def _is_unknown(model: type[Table], error: vol.Invalid, where: Where) -> bool:
    """Say whether a mistake is a key that its table does not have."""
    return type(error) is vol.Invalid and where[-1] not in keys_of(_model_at(model, where[:-1]))


def _at(data: Any, where: Where) -> object:
    for part in where:
        data = data[part]
    return data


def _near_key(model: type[Table], where: Where) -> str:
    return nearest(str(where[-1]), list(keys_of(_model_at(model, where[:-1]))))


def _unknown_key(model: type[Table], where: Where, near: str) -> Problem:
    names = list(keys_of(_model_at(model, where[:-1])))
    name, table = str(where[-1]), dotted(where[:-1]) or "the file's top"
    homes = [home for home, key in keys_of(model).items()
             if key.table and name in keys_of(key.table)]  # fmt: skip
    hint = f'did you mean "{near}"?' if near else f"it belongs in {' or '.join(f'[{home}]' for home in homes)}"
    allowed = f"{table} may hold {', '.join(names)}"
    return Problem(f'unknown key "{name[:80]}"', allowed, hint if near or homes else "", dotted(where))


def _missing_key(model: type[Table], where: Where) -> Problem:
    key, name = dotted(where), str(where[-1])
    missing = keys_of(_model_at(model, where[:-1]))[name]
    if missing.table is None:
        return Problem("the key is missing", missing.allowed, f"write {name} = …", key)
    needed = [part for part, inside in keys_of(missing.table).items() if inside.required]
    header = f"[[{key}]]" if missing.many else f"[{key}]"
    return Problem("the table is missing", f"{header} with {', '.join(needed)}", f"add the table {header}", key)


def _wrong_value(model: type[Table], error: vol.Invalid, where: Where, value: object) -> Problem:
    if isinstance(error, WrongHere):
        return Problem(error.why.found, error.why.allowed, error.why.hint, dotted(where))
    found = f"{_kind(value)} cannot stand here"
    if isinstance(where[-1], int) or not isinstance(error, vol.SequenceTypeInvalid):  # a table, or one of a list
        return Problem(found, f"a table, {_header(model, where)}", "", dotted(where))
    key = keys_of(_model_at(model, where[:-1]))[str(where[-1])]
    if key.table is None:
        return Problem(found, "a list, such as [3, 5, 7]", "", dotted(where))
    header = _header(model, where)
    hint = f"write {header} in place of [{where[-1]}]" if isinstance(value, dict) else ""
    return Problem(found, f"tables, {header}", hint, dotted(where))


def _kind(value: object) -> str:
    return "a table" if isinstance(value, dict) else "a list" if isinstance(value, list) else shown(value)


def _header(model: type[Table], where: Where) -> str:
    name = next(part for part in reversed(where) if isinstance(part, str))
    single = isinstance(where[-1], str) and not _is_list(model, where)
    return f"[{name}]" if single else f"[[{name}]]"


def _is_list(model: type[Table], where: Where) -> bool:
    return keys_of(_model_at(model, where[:-1]))[str(where[-1])].many


def _model_at(model: type[Table], where: Where) -> type[Table]:
    for part in where:
        if isinstance(part, str) and part in keys_of(model):
            model = keys_of(model)[part].table or model
    return model


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
        key = keys_of(_model_at(model, where[: length - 1])).get(name)
        if key is None or not key.required:
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
