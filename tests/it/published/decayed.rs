//! Discs of tropical wood decayed by fungi: **not waterlogged, not archaeological, not saturated**. They check the
//! arithmetic of mass and volume, nothing of the state of waterlogged wood.

use woodstate::quantity::Quantity;
use woodstate::state::Cause;

use crate::published::{agrees, check, of};

/// Piece, fresh g, oven-dry g, fresh bulk density kg/m3, basic density kg/m3, moisture content %.
type Disc = (&'static str, f64, f64, f64, f64, f64);

const DISCS: [Disc; 13] = [
    ("longCWD001", 788.0, 237.7, 282.8779, 85.3301, 231.51),
    ("longCWD002", 237.3, 164.7, 242.8625, 168.5607, 44.08),
    ("longCWD004", 266.0, 110.8, 347.9490, 144.9351, 140.07),
    ("longCWD005", 852.7, 200.4, 479.2395, 112.6300, 325.50),
    ("longCWD007", 210.8, 47.3, 526.1191, 118.0523, 345.67),
    ("longCWD010", 1574.7, 218.8, 512.1200, 71.1576, 619.70),
    ("longCWD011", 903.6, 605.3, 578.3512, 387.4236, 49.28),
    ("longCWD013", 1424.1, 749.5, 1140.9208, 600.4635, 90.01),
    ("longCWD014", 523.6, 314.3, 82.6946, 49.6389, 66.59),
    ("longCWD020", 481.6, 257.9, 750.6772, 401.9926, 86.74),
    ("longCWD022", 222.7, 42.4, 368.7140, 70.1997, 425.24),
    ("longCWD031", 613.7, 109.7, 139.8426, 24.9971, 459.43),
    ("longCWD065", 309.4, 77.7, 750.0946, 188.3722, 298.20),
];

/// Source: Pitcher and Muller-Landau 2025, doi:10.5281/zenodo.16410468 \[read]; moisture content \[derived].
#[test]
fn basic_density_and_moisture_content_of_each_disc() {
    for (disc, fresh, dry, bulk, basic, moisture) in DISCS {
        let piece = check(&[
            (Cause::MassSaturated, fresh),
            (Cause::MassOvenDry, dry),
            (Cause::VolumeSaturated, 1000.0 * fresh / bulk),
        ]);
        // The file multiplies densities it had rounded to four decimals; its own check is 1e-3 of the value.
        let actual = of(&piece, Quantity::BasicDensity);
        assert!((actual - basic).abs() <= 1e-5 * basic, "{disc}: {actual} instead of {basic}");
        agrees(of(&piece, Quantity::MaxWaterContent), moisture, 2);
    }
    let first = check(&[(Cause::MassOvenDry, 237.7), (Cause::VolumeSaturated, 788.0 / 0.282_877_9)]);
    agrees(of(&first, Quantity::BasicDensity), 85.3300, 3);
    let thirteenth = check(&[(Cause::MassSaturated, 1424.1), (Cause::MassOvenDry, 749.5)]);
    agrees(of(&thirteenth, Quantity::MaxWaterContent), 90.007, 3);
}

/// Source: the same file; cell wall 1.5 g/cm3 and water 1 g/cm3 \[derived]. Air-filled pores show as a saturation below
/// 95 %, the limit of ours.
#[test]
fn discs_that_hold_air_are_not_saturated() {
    for (disc, fresh, dry, bulk, ..) in DISCS {
        let piece = check(&[
            (Cause::MassSaturated, fresh),
            (Cause::MassOvenDry, dry),
            (Cause::VolumeSaturated, 1000.0 * fresh / bulk),
            (Cause::WaterDensity, 1000.0),
            (Cause::CellWallDensity, 1500.0),
        ]);
        let saturation = of(&piece, Quantity::Saturation);
        // Volume less cell wall is pore space; what was lost on drying was water.
        let expected = 100.0 * (fresh - dry) / (1000.0 * fresh / bulk - dry / 1.5);
        assert!((saturation - expected).abs() < 1e-9 * expected && saturation < 95.0, "{disc}: {saturation}");
    }
}
