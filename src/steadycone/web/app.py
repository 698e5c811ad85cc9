"""The pages put together. `TABLE` is the whole of what the server answers to; tests walk it."""

from collections.abc import Awaitable, Callable

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from steadycone.web.answer import answer, bring_in
from steadycone.web.compress import Compressed
from steadycone.web.guard.headers import Guarded
from steadycone.web.page import Page
from steadycone.web.pages import (
    account,
    assets,
    charts,
    defects,
    drills,
    edit,
    edit_live,
    emergency,
    gear,
    gear_forms,
    gear_import,
    gear_item,
    home,
    incidents,
    log,
    log_check,
    log_event,
    people,
    policies,
    refuel,
    round_report,
    round_run,
    rounds,
    stations,
    sums,
    triage,
    whatif,
)
from steadycone.web.yard import Yard

TABLE: tuple[Page, ...] = (
    *assets.PAGES,
    *emergency.PAGES,
    *account.PAGES,
    *home.PAGES,
    *rounds.PAGES,
    *round_report.PAGES,
    *round_run.PAGES,
    *charts.PAGES,
    *policies.PAGES,
    *sums.PAGES,
    *triage.PAGES,
    *drills.PAGES,
    *refuel.PAGES,
    *whatif.PAGES,
    *edit.PAGES,
    *edit_live.PAGES,
    *stations.PAGES,
    *defects.PAGES,
    *gear.PAGES,
    *gear_forms.PAGES,
    *gear_import.PAGES,
    *gear_item.PAGES,
    *incidents.PAGES,
    *log.PAGES,
    *log_check.PAGES,
    *log_event.PAGES,
    *people.PAGES,
)


def make_app(yard: Yard) -> Starlette:
    """The application over an open store."""
    routes: dict[str, dict[str, Page]] = {}
    for page in TABLE:
        routes.setdefault(page.path, {})[page.method] = page
    app = Starlette(
        routes=[Route(path, _endpoint(yard, pages), methods=[*pages]) for path, pages in routes.items()],
        middleware=[Middleware(Guarded, settings=yard.settings), Middleware(Compressed)],
        exception_handlers={404: _lost(yard), 405: _lost(yard)},
    )
    app.router.redirect_slashes = False  # an address is what a page says it is
    return app


def _endpoint(yard: Yard, pages: dict[str, Page]) -> Callable[[Request], Awaitable[Response]]:
    async def endpoint(request: Request) -> Response:
        page = pages["GET" if request.method == "HEAD" else request.method]
        brought = await bring_in(request, page)
        try:
            return await run_in_threadpool(answer, yard, page, request, brought)
        finally:
            if brought is not None:
                await brought.form.close()  # lets go of a file that was sent

    return endpoint


def _lost(yard: Yard) -> Callable[[Request, Exception], Awaitable[Response]]:
    """No such page: told in the same words as all else."""
    from steadycone.web.pages.home import NOT_FOUND

    async def lost(request: Request, error: Exception) -> Response:
        response = await run_in_threadpool(answer, yard, NOT_FOUND, request, None)
        response.status_code = getattr(error, "status_code", 404)
        return response

    return lost
