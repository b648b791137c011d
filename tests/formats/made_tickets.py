"""Job tickets written for tests after the words of the CIP4 schemas (JDF 1.x and XJDF 2.x)."""

from __future__ import annotations

from collections.abc import Sequence

JDF = "http://www.CIP4.org/JDFSchema_1_1"
XJDF = "http://www.CIP4.org/JDFSchema_2_0"
ZONE_POINTS = 30.0 * 72 / 25.4


def jdf(shares: Sequence[float], more: str = "", *, ink: str = "Black", namespace: str = JDF) -> bytes:
    """A ticket with one profile split by sheet, side and separation; ``more`` goes into the innermost part."""
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<JDF xmlns="{namespace}" ID="n1" Type="ConventionalPrinting" Status="Waiting" Version="1.4">
 <ResourcePool>
  <InkZoneProfile ID="r1" Class="Parameter" Status="Available" ZoneWidth="{ZONE_POINTS}"
     PartIDKeys="SheetName Side Separation">
   <InkZoneProfile SheetName="S1"><InkZoneProfile Side="Front">
    <InkZoneProfile Separation="{ink}" ZoneSettingsX="{" ".join(map(str, shares))}" {more}/>
   </InkZoneProfile></InkZoneProfile>
  </InkZoneProfile>
 </ResourcePool>
 <ResourceLinkPool><InkZoneProfileLink rRef="r1" Usage="Input"/></ResourceLinkPool>
</JDF>""".encode()


def xjdf(attributes: str, *, part: str = 'Separation="Cyan" Side="Front"', namespace: str = XJDF) -> bytes:
    """A ticket with one profile in a resource set."""
    return f"""<XJDF xmlns="{namespace}" JobID="j1" Types="ConventionalPrinting">
 <ResourceSet Name="InkZoneProfile" Usage="Input">
  <Resource><Part {part}/><InkZoneProfile {attributes}/></Resource>
 </ResourceSet>
</XJDF>""".encode()
