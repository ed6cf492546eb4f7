"""``machines``: the machine profiles."""

import json

import click

from pearlkerf.commands.options import JSON
from pearlkerf.commands.talk import told_errors
from pearlkerf.machine.reader import profile_names, read_machine, read_profile_bytes


@click.command()
@click.argument("name", required=False)
@JSON
def machines(name: str | None, as_json: bool) -> None:
    """List the machine profiles; with NAME print that profile, to copy and change."""
    with told_errors(as_json):
        if name is not None:
            read_machine(name)
            click.echo(read_profile_bytes(name).decode("utf-8"), nl=False)
            return
        profiles = [read_machine(each) for each in profile_names()]
    if as_json:
        rows = [
            {"name": p.name, "title": p.title, "travel_mm": [p.travel.x_mm, p.travel.y_mm, p.travel.z_mm]}
            for p in profiles
        ]
        click.echo(json.dumps({"machines": rows}, indent=2))
        return
    width = max(len(profile.name) for profile in profiles)
    for profile in profiles:
        click.echo(f"{profile.name:<{width}}  {profile.title}")
