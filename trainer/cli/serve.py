"""`trainer serve`: prepare the instance folder and serve the site."""

import gc
import logging

import click
from waitress import serve

from trainer import clock
from trainer.settings import Settings, prepare, read_settings
from trainer.use_cases import fill_demo, note_facts
from trainer.use_cases.open_bank import open_bank
from trainer.use_cases.work import Work
from trainer.web.app import create_app

THREADS = 8
logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a request that waits is no news


@click.command(name="serve", epilog="Example: trainer serve --demo --port 8000")
@click.option("--demo", is_flag=True, help="Fill an empty database with a made-up scenario.")
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", default=8000, show_default=True, help="Port to listen on.")
@click.option(
    "--workers",
    type=click.IntRange(1),
    default=1,
    show_default=True,
    help="Processes. More than one wants a proxy in front that keeps slow clients.",
)
def command(demo: bool, host: str, port: int, workers: int) -> None:
    """Serve the site, after bringing database, migrations and keys up to date."""
    settings = prepare(read_settings())
    work = Work(settings.database, settings.instance)
    work.prepare()
    if demo:
        _fill(settings, work, f"http://{host}:{port}")
    _note(work)
    gc.freeze()  # the bank stays: looking through it again holds up whoever waits then
    click.echo(f"Open http://{host}:{port}", err=True)
    if workers > 1:
        from trainer.cli.processes import serve_in_processes

        work.close()
        serve_in_processes(settings, f"{host}:{port}", workers)
    else:
        app = create_app(settings, work)
        serve(
            app,
            host=host,
            port=port,
            threads=THREADS,
            clear_untrusted_proxy_headers=not settings.proxies,
            ident=None,
            _quiet=True,
        )


def _note(work: Work) -> None:
    """Which safety facts are not as this site last knew them."""
    changed = note_facts.note(work, open_bank(), clock.now())
    if changed:
        facts = "1 safety fact has" if changed == 1 else f"{changed} safety facts have"
        click.echo(f"{facts} changed: see the method book, What has changed.", err=True)


def _fill(settings: Settings, work: Work, address: str) -> None:
    click.echo("Preparing the demo: eight weeks of practice take a moment.", err=True)
    address = settings.base_url or address
    now, bank = clock.now(), open_bank()
    for line in fill_demo.fill(work, bank, settings.keys, address, now, _progress):
        click.echo(line, err=True)


def _progress(done: int, all_: int) -> None:
    click.echo(f"\r  {done} of {all_} people", nl=done == all_, err=True)
