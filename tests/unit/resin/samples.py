"""An invented fabric, resin and packer for the tests of resin and pressure."""

from teewright.kit.values import Fabric, Packer, Resin
from teewright.units import kelvin

FABRIC = Fabric(
    name="felt",
    thickness=((0.0, 5.0e-3), (50e3, 4.5e-3), (150e3, 4.0e-3)),
    void_fraction=0.85,
    stiffness_along=12e3,
    stiffness_across=8e3,
    stretch_along=1.20,
    stretch_across=1.30,
    seam_allowance=8e-3,
    roll_width=1.5,
    price=14.0,
    source="invented",
)
RESIN = Resin(
    name="mix",
    density_a=1200.0,
    density_b=1000.0,
    density=1140.0,
    ratio_mass=0.4,
    pack_mass=2.0,
    working_time=((kelvin(5.0), 5400.0), (kelvin(15.0), 3000.0), (kelvin(30.0), 1200.0)),
    release_time=((kelvin(5.0), 28800.0), (kelvin(15.0), 16000.0), (kelvin(30.0), 7200.0)),
    modulus=2.4e9,
    strength=48e6,
    long_term=0.5,
    hazards=("amines",),
    price=14.0,
    source="invented",
)
PACKER = Packer(
    name="P200",
    main_min=0.17,
    main_max=0.23,
    branch_min=0.09,
    branch_max=0.16,
    angle_min=0.78,
    angle_max=1.58,
    rating=200e3,
    bladder_pressure=35e3,
    bypass_count=1,
    bypass_diameter=0.065,
    length=1.25,
    sleeve_length=0.42,
    branch_reach=0.25,
    mass=24.0,
    count=1,
)
