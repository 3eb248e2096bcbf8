"""Prints the music wire gauge, Nos. 6 to 33, as the Python library `fluids` holds it.

The library copies it from E. Oberg, F. D. Jones, H. H. Ryffel, Machinery's Handbook, Industrial
Press, 2012. The numbers stand in machinery_2012.rs; to make them again:

    pip install fluids==1.3.1
    python3 machinery_2012.py
"""

from fluids.piping import MWG_gauges, MWG_inch

for gauge, inch in sorted(zip(MWG_gauges, MWG_inch)):
    if 6 <= gauge <= 33:
        print(f'    size!("{gauge:.0f}", "{inch:.3f}"),')
