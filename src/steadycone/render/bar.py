"""The headroom bar: filled to flowing, open to shut, the wall."""

from steadycone.render.model import Panel

_LENGTH = 298.0


def bar_svg(panel: Panel, *, style: str = "") -> str:
    """One bar of a panel; an empty one where the pressure is not known."""
    head = '<svg xmlns="http://www.w3.org/2000/svg" class="room" viewBox="-2 0 302 24" aria-hidden="true">'
    head += f"<style>{style}</style>" if style else ""
    body = f'<path class="hair" d="M0 12H{_LENGTH:g}"/>'
    if panel.bar:
        flowing, shut, wall = (share * _LENGTH for share in (panel.bar.flowing, panel.bar.shut, panel.bar.wall))
        filled = f'd="M0 12H{flowing:.1f}"'
        spine = f'<path class="spine w12" {filled}/>' if panel.side == "fu" else ""
        body += f'<rect class="gp" x="{flowing:.1f}" y="5" width="{max(shut - flowing, 0):.1f}" height="14"/>'
        body += spine + f'<path class="line {panel.side} w12" {filled}/>'
        body += f'<path class="gl" d="M{flowing:.1f} 5H{shut:.1f}V19H{flowing:.1f}"/>'
        body += f'<path class="wallgap" d="M{wall:.1f} 0V24"/><path class="wall" d="M{wall:.1f} 0V24"/>'
    return head + body + "</svg>"
