"""The keys of a table: each stands once, with kind and bounds, its meaning, and what counts where it is left out."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import MISSING, Field, dataclass, field, fields
from types import MappingProxyType
from typing import Annotated, Any, ClassVar, dataclass_transform, get_args, get_origin

from pearlkerf.files.toml_values import Checked, Kind


def key(
    meaning: str,
    *,
    default: Any = MISSING,
    default_factory: Callable[[], Any] | Any = MISSING,
    usual: str = "",
) -> Any:
    """Give a key of a table: its ``meaning``, and its default, where it may be left out.

    ``usual`` says in words what counts where it is left out, for a default that does not say it itself.
    """
    metadata = {"meaning": meaning, "usual": usual}
    return field(default=default, default_factory=default_factory, metadata=metadata)


@dataclass_transform(kw_only_default=True, frozen_default=True, field_specifiers=(key,))
class Table:
    """A table with these keys and no others: its annotations say what each may hold.

    ``declared`` are its keys, in order, worked out where it is declared: a form asks for all of them at every stroke.
    """

    declared: ClassVar[Mapping[str, "Key"]]

    def __init_subclass__(cls) -> None:
        """Make a frozen record of every kind of table."""
        dataclass(frozen=True, kw_only=True, eq=False, repr=False)(cls)
        cls.declared = MappingProxyType({each.name: _key(each) for each in fields(cls)})  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class Key:
    """One key: what it means, what it may hold, and what counts where it is left out.

    It holds a value of a ``kind`` (which has the bounds, or the words to choose from), or another
    ``table``; ``many`` says that it holds a list of them.  ``usual`` tells the default in words.
    """

    name: str
    meaning: str
    kind: Kind | None
    table: type[Table] | None
    many: bool
    required: bool
    default: Any
    usual: str

    @property
    def allowed(self) -> str:
        """Say what may stand here; nothing for a table."""
        told = self.kind.allowed if self.kind else ""
        return f"a list, each {told}" if self.many else told


def keys_of(model: type[Table]) -> Mapping[str, Key]:
    """Give the keys of a kind of table, in order."""
    return model.declared


def tables_of(model: type[Table]) -> dict[str, Mapping[str, Key]]:
    """Give the keys of every table of a file by the table's name, those at the file's top under ""; in order."""
    top = keys_of(model)
    inner = {name: keys_of(each.table) for name, each in top.items() if each.table}
    return {"": {name: each for name, each in top.items() if not each.table}, **inner}


def several_of(model: type[Table]) -> tuple[str, ...]:
    """Give the names of the tables that a file may have several of: [[cutter]]."""
    return tuple(name for name, each in keys_of(model).items() if each.table and each.many)


def _key(of: Field[Any]) -> Key:
    table = _table_in(of.type)
    kind = None if table else next(_kinds(of.type))
    make = of.default_factory
    default = of.default if make is MISSING else make()
    required = default is MISSING
    return Key(
        name=of.name,
        meaning=of.metadata["meaning"],
        kind=kind,
        table=table,
        many=get_origin(of.type) is list,
        required=required,
        default=None if required else default,
        usual="" if required else of.metadata["usual"] or _usual(kind, default),
    )


def _usual(kind: Kind | None, default: Any) -> str:
    """Say a default in words; a kind that takes a word for None says it."""
    if default in (None, ""):
        return f'"{kind.word}"' if hasattr(kind, "word") else "none"  # type: ignore[union-attr]
    if isinstance(default, bool | str):
        return f'"{default}"' if isinstance(default, str) else str(default).lower()
    unit = "mm" if hasattr(kind, "highest_mm") else getattr(kind, "unit", "")
    return f"{default:g} {unit}".rstrip() if isinstance(default, int | float) else str(default)


def _kinds(annotation: Any) -> Iterator[Any]:
    """Give the kinds of value that an annotation names, outermost first."""
    if get_origin(annotation) is Annotated:
        yield from (part for part in annotation.__metadata__ if isinstance(part, Checked))
    for inner in get_args(annotation):
        yield from _kinds(inner)


def _table_in(annotation: Any) -> type[Table] | None:
    """Give the table that an annotation such as ``Blank | None`` or ``list[Cutter]`` holds."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    return next((found for part in get_args(annotation) if (found := _table_in(part))), None)
