"""The rest of the app: what its first page does not need, loaded once it is asked for, or once there is time."""

from importlib import import_module

from fastapi import APIRouter
from fastapi.concurrency import run_in_threadpool
from starlette.types import Receive, Scope, Send


class Remainder:
    """Answers, as the default of the app's router, what none of its own routes does.

    Parameters
    ----------
    name : str
        The module whose ``router`` has all other routes. However many ask for it at once, Python loads it once, and all
        wait for it; they do so in threads of their own, so that what is loaded already is answered meanwhile.
    """

    def __init__(self, name: str) -> None:
        self._name = name
        self._router: APIRouter | None = None

    def load(self) -> APIRouter:
        """The router with the rest, complete."""
        router: APIRouter = import_module(self._name).router
        self._router = router
        return router

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        router = self._router
        if router is None:
            router = await run_in_threadpool(self.load)
        await router(scope, receive, send)
