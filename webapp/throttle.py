"""How often a passphrase may be tried: the more wrong tries, the longer the wait, for one address and for all."""

import ipaddress
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock

FREE, LONGEST = 5, 900.0
"""Wrong tries of one address before it waits, and its longest wait [s]."""
FREE_ALL, LONGEST_ALL = 50, 30.0
"""The same for all addresses together; its wait is short, so that a stranger cannot keep everyone out for long."""
FORGOTTEN = 3600.0
"""Wrong tries are forgotten when none came for this long [s]."""
MOST_ADDRESSES = 10_000


@dataclass(slots=True)
class _Tries:
    wrong: int = 0
    last: float = 0.0

    def wait(self, now: float, free: int, longest: float) -> float:
        """How long the next try has to wait [s]."""
        if now - self.last >= FORGOTTEN:
            self.wrong = 0
        if self.wrong < free:
            return 0.0
        delay = min(longest, 2.0 ** min(self.wrong - free, 30))
        return max(0.0, self.last + delay - now)

    def count(self, now: float) -> None:
        self.wrong, self.last = self.wrong + 1, now


class Throttle:
    """Counts wrong tries, in the memory of one process.

    Parameters
    ----------
    clock : callable
        Tells the time [s].
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._all = _Tries()
        self._tries: OrderedDict[str, _Tries] = OrderedDict()
        self._lock = Lock()

    def wait(self, address: str) -> float:
        """How long an address has to wait before its next try [s]."""
        with self._lock:
            now = self._clock()
            tries = self._tries.get(network(address))
            own = tries.wait(now, FREE, LONGEST) if tries else 0.0
            return max(own, self._all.wait(now, FREE_ALL, LONGEST_ALL))

    def count(self, address: str) -> None:
        """Count a wrong try."""
        with self._lock:
            now = self._clock()
            tries = self._tries.setdefault(network(address), _Tries())
            tries.count(now)
            self._all.count(now)
            self._tries.move_to_end(network(address))
            while len(self._tries) > MOST_ADDRESSES:
                self._tries.popitem(last=False)

    def clear(self, address: str) -> None:
        """Forget an address's wrong tries, since it has the right passphrase."""
        with self._lock:
            self._tries.pop(network(address), None)


def network(address: str) -> str:
    """What counts as one address: an IPv6 address's /64, all of which one line usually has.

    Example
    -------
    >>> network("2001:db8::1:2"), network("192.0.2.7"), network("::ffff:192.0.2.7")
    ('2001:db8::', '192.0.2.7', '192.0.2.7')
    """
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return address
    if isinstance(found, ipaddress.IPv6Address):
        mapped = found.ipv4_mapped
        return str(mapped or ipaddress.IPv6Address(int(found) >> 64 << 64))
    return str(found)
