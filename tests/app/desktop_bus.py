"""A desktop's tray and notices on the session bus, as far as a program sees them.

`python -m tests.app.desktop_bus` registers both, then prints each call as one line of JSON. By the
Status Notifier Item specification of freedesktop.org (draft 0.1) and the Desktop Notifications
Specification 1.2.
"""

from __future__ import annotations

import json
import sys

from PySide6.QtCore import QCoreApplication
from PySide6.QtDBus import QDBusConnection, QDBusMessage, QDBusVirtualObject

WATCHER, WATCHER_PATH = "org.kde.StatusNotifierWatcher", "/StatusNotifierWatcher"
NOTICES, NOTICES_PATH = "org.freedesktop.Notifications", "/org/freedesktop/Notifications"
_ANSWERS: dict[str, list[object]] = {"Notify": [7], "GetCapabilities": [["body", "actions"]]}


def say(**what: object) -> None:
    """Print one line."""
    print(json.dumps(what, default=lambda _thing: None), flush=True)


class Desktop(QDBusVirtualObject):
    """Answers every call on its path."""

    def introspect(self, _path: str) -> str:
        """Tell what there is, for those who ask before they call."""
        return (
            f'<interface name="{WATCHER}">'
            '<method name="RegisterStatusNotifierItem"><arg type="s" direction="in"/></method>'
            '<property name="IsStatusNotifierHostRegistered" type="b" access="read"/>'
            "</interface>"
        )

    def handleMessage(self, message: QDBusMessage, bus: QDBusConnection) -> bool:
        """Answer one call; the one property that is asked for says that there is a tray."""
        if message.interface() == "org.freedesktop.DBus.Properties":
            return bus.send(message.createReply([True]))
        member = message.member()
        say(call=member, given=message.arguments(), by=message.service())
        return bus.send(message.createReply(_ANSWERS.get(member, [])))


def main() -> int:
    """Stand in until the process is ended."""
    app = QCoreApplication([])
    bus, desktop = QDBusConnection.sessionBus(), Desktop()
    are_there = [
        bus.registerVirtualObject(WATCHER_PATH, desktop),
        bus.registerVirtualObject(NOTICES_PATH, desktop),
        bus.registerService(WATCHER),
        bus.registerService(NOTICES),
    ]
    say(ready=all(are_there))
    return app.exec()


if __name__ == "__main__":
    sys.exit(main())
