"""Kernels that are there before they are asked for, and gone when nobody looks at their page."""

import asyncio
import contextlib
from datetime import UTC, datetime

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from traitlets import Instance, List, Unicode

LOADED = "--IPKernelApp.exec_lines=import kilnlib.bench"
WARMED = "--IPKernelApp.exec_lines=import kilnlib.bench.spare; kilnlib.bench.spare.warm_by_and_by()"
REST_S = 1.5  # before a new spare is begun: first the page that was opened shall be alive


class Kernels(AsyncMappingKernelManager):
    """One spare kernel stands ready with all that a page needs, so that the next page is alive at once."""

    loaded = List(Unicode(), [LOADED], help="what a kernel is given to load that somebody waits for")
    warmed = List(Unicode(), [WARMED], help="what the spare is given to load")
    _spare = None
    _making = None
    _ended = Instance(asyncio.Event, ())

    async def start_kernel(self, *, kernel_id=None, path=None, **named):
        """A kernel for a page: the spare where it lies in the top folder, and soon another spare for the next."""
        at_the_top = not (path or "").strip("/")  # the folder of the notebook
        if kernel_id is not None or not at_the_top or named.get("kernel_name") not in (None, "python3"):
            return await super().start_kernel(kernel_id=kernel_id, path=path, **named)
        if self._making is not None:
            with contextlib.suppress(Exception):
                await asyncio.shield(self._making)
        spare, self._spare = self._spare, None
        if spare is None or spare not in self:
            spare = await self._start_loaded(self.loaded)
        self.get_kernel(spare).last_activity = datetime.now(UTC)  # it waited long, and its page comes in a moment
        if self._spare is None and (self._making is None or self._making.done()):  # two pages may ask at once
            self._making = asyncio.ensure_future(self._make_spare())
        return spare

    async def _start_loaded(self, arguments):
        return await super().start_kernel(path="", kernel_name="python3", extra_arguments=arguments)

    async def _make_spare(self, rest_s=REST_S):
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(self._ended.wait(), rest_s)
            return
        self._spare = await self._start_loaded(self.warmed)

    async def shutdown_all(self, now=False):
        """End them all; no new spare is begun.

        One that is still being started is ended when it has started: cut off in between, it is neither there nor gone,
        and the server would wait for it for ever.
        """
        self._ended.set()
        starting = [self._making] if self._making is not None else []
        await asyncio.gather(*starting, *self._pending_kernels.values(), return_exceptions=True)
        await super().shutdown_all(now=now)

    async def cull_kernel_if_idle(self, kernel_id):
        """End a kernel that nobody is connected to; the spare waits for somebody."""
        if kernel_id != self._spare:
            await super().cull_kernel_if_idle(kernel_id)
