"""The one hook of the host, and the marker that a pack puts on its own."""

import pluggy

from hangworthy.contract.pack import RulePack

PROJECT = "hangworthy"
ENTRY_POINT_GROUP = "hangworthy.rulepacks"

hookspec = pluggy.HookspecMarker(PROJECT)
hookimpl = pluggy.HookimplMarker(PROJECT)


class HookSpecs:
    """What a pack may implement. Anything else it marks is refused, so that a misspelt hook is noticed."""

    @hookspec
    def hangworthy_rulepack(self) -> RulePack:  # type: ignore[empty-body]
        """Return the pack as data. The host runs the rules, each inside a boundary of its own."""
