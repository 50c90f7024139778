//! The relation of water content and basic density in a saturated piece, water 1 g/cm3.

use woodstate::quantity::Quantity;
use woodstate::state::{Cause, basic_density_of_water_content};

use crate::published::{UNIT_WATER, agrees, check, of};

/// Water content %, basic density g/cm3 with a cell wall of 1.50, 1.53 and 1.47 g/cm3.
const SATURATED: [(f64, [f64; 3]); 10] = [
    (100.0, [0.60000, 0.60474, 0.59514]),
    (150.0, [0.46154, 0.46434, 0.45866]),
    (185.0, [0.39735, 0.39943, 0.39521]),
    (200.0, [0.37500, 0.37685, 0.37310]),
    (300.0, [0.27273, 0.27370, 0.27172]),
    (400.0, [0.21429, 0.21489, 0.21366]),
    (500.0, [0.17647, 0.17688, 0.17605]),
    (700.0, [0.13043, 0.13066, 0.13020]),
    (1000.0, [0.09375, 0.09387, 0.09363]),
    (1500.0, [0.06383, 0.06388, 0.06377]),
];

/// Taxon, published basic density g/cm3, water content % with a cell wall of 1.50, 1.53 and 1.54 g/cm3.
const SOUND: [(&str, f64, [f64; 3]); 18] = [
    ("Quercus, IPCC", 0.58, [105.7, 107.1, 107.5]),
    ("Fagus sylvatica, IPCC", 0.58, [105.7, 107.1, 107.5]),
    ("Fraxinus, IPCC", 0.57, [108.8, 110.1, 110.5]),
    ("Acer, IPCC", 0.52, [125.6, 126.9, 127.4]),
    ("Betula, IPCC", 0.51, [129.4, 130.7, 131.1]),
    ("Ulmus glabra, GWDD", 0.551, [114.8, 116.1, 116.6]),
    ("Alnus, IPCC", 0.45, [155.6, 156.9, 157.3]),
    ("Larix, IPCC", 0.46, [150.7, 152.0, 152.5]),
    ("Pseudotsuga, IPCC", 0.45, [155.6, 156.9, 157.3]),
    ("Tilia, IPCC", 0.43, [165.9, 167.2, 167.6]),
    ("Pinus sylvestris, IPCC", 0.42, [171.4, 172.7, 173.2]),
    ("Picea abies, IPCC", 0.4, [183.3, 184.6, 185.1]),
    ("Abies, IPCC", 0.4, [183.3, 184.6, 185.1]),
    ("Populus, IPCC", 0.35, [219.0, 220.4, 220.8]),
    ("Salix alba, GWDD", 0.284, [285.4, 286.8, 287.2]),
    ("Taxus baccata, GWDD", 0.551, [114.8, 116.1, 116.6]),
    ("Carpinus betulus, GWDD", 0.706, [75.0, 76.3, 76.7]),
    ("Castanea sativa, GWDD, N Africa rows", 0.44, [160.6, 161.9, 162.3]),
];

/// Source: Forest Products Laboratory 2021, FPL-GTR-282, Eq. 4-3 \[copy], inverted; five decimals \[derived].
#[test]
fn basic_density_of_a_saturated_piece_from_its_water_content() {
    for (content, printed) in SATURATED {
        for (wall, printed) in [1500.0, 1530.0, 1470.0].into_iter().zip(printed) {
            let piece = check(&[(Cause::WaterContentDryBasis, content), UNIT_WATER, (Cause::CellWallDensity, wall)]);
            agrees(of(&piece, Quantity::BasicDensity) / 1000.0, printed, 5);
            agrees(basic_density_of_water_content(content, 1000.0, wall, 0.0) / 1000.0, printed, 5);
        }
    }
}

/// Source: densities of IPCC 2006, Table 4.14, and Zanne et al. 2009 \[copy] in Eq. 4-3 of FPL-GTR-282 \[copy]; one
/// decimal \[derived]. Not measured.
#[test]
fn sound_wood_holds_this_much_water_when_saturated() {
    for (taxon, density, printed) in SOUND {
        for (wall, printed) in [1500.0, 1530.0, 1540.0].into_iter().zip(printed) {
            let piece =
                check(&[(Cause::SoundBasicDensity, 1000.0 * density), UNIT_WATER, (Cause::CellWallDensity, wall)]);
            let actual = of(&piece, Quantity::SoundMaxWaterContent);
            assert!((actual - printed).abs() <= 0.05 + 1e-9, "{taxon}: {actual} instead of {printed}");
        }
    }
}
