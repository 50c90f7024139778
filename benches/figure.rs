//! Draws a figure of many points, cold: `cargo bench --bench figure -- POINTS FOLDER` writes figure.svg, .png and .pdf;
//! `benches/peers/measure_figure.py` compares time and memory with a peer. Without arguments it does nothing but say so.
#![allow(clippy::print_stdout, reason = "OK because a bench shows its results")]

use std::path::Path;

use woodstate::error::Result;
use woodstate::figure::{
    Bars, Figure, FigureAxis, FigureData, Frame, Key, KeyMark, Layer, Paint, Panel, Sheet, SheetSize, Stamp, Woods,
};
use woodstate::table::{Overwrite, write_file};

fn main() -> Result<()> {
    // Cargo adds --bench.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let [points, folder] = words.as_slice() else {
        println!("usage: figure POINTS FOLDER; benches/peers/measure_figure.py does it for you");
        return Ok(());
    };
    let (figure, sheet) = (figure(points.parse().unwrap_or(40)), Sheet::of(SheetSize::Single, None));
    let put = |name: &str, bytes: &[u8]| write_file(Path::new(folder).join(name), bytes, Overwrite::Force);
    put("figure.svg", figure.svg(&sheet)?.as_bytes())?;
    put("figure.png", &figure.png(&sheet, 300)?)?;
    put("figure.pdf", &figure.pdf(&sheet)?)
}

/// Points about a curve with a band; error bars up to 100 points, as the peer.
fn figure(n: usize) -> Figure {
    let mut state = 1_u64;
    let mut chance = || {
        state = state * 16_807 % 2_147_483_647;
        f64::from(u32::try_from(state).unwrap_or(0)) / 2_147_483_647.0
    };
    let curve = |x: f64| 1.0e5 / (x + 65.0);
    let x: Vec<f64> = (0..n).map(|_| 100.0 + 700.0 * chance()).collect();
    let y: Vec<f64> = x.iter().map(|x| curve(*x) + 60.0 * (chance() - 0.5)).collect();
    let bars = y.iter().map(|y| (n <= 100).then_some([y - 12.0, y + 12.0])).collect();
    let line: Vec<f64> = (0..160_u32).map(|k| 100.0 + 700.0 * f64::from(k) / 159.0).collect();
    let shifted = |by: f64| line.iter().map(|x| curve(*x) + by).collect::<Vec<_>>();
    let layers = vec![
        Layer::Band { paint: Paint::PaleGrey, x: line.clone(), low: shifted(-15.0), high: shifted(15.0) },
        Layer::Line { stamp: Stamp::Quiet, y: shifted(0.0), x: line },
        Layer::Points { stamp: Stamp::Series(0), x_bars: vec![None; n], y_bars: bars, x, y },
    ];
    let key = |name: &str, mark| Key { name: name.to_owned(), mark };
    Figure {
        name: "density-water".to_owned(),
        title: "Basic density against maximum water content".to_owned(),
        caption: String::new(),
        alternative: String::new(),
        bars: Bars::StandardUncertainty,
        panels: vec![Panel {
            title: None,
            x: FigureAxis::of("Maximum water content (%)", [0.0, 850.0]),
            y: FigureAxis::of("Basic density (kg m^{-3})", [0.0, 700.0]),
            layers,
            frame: Frame::Axes,
            height: 1.0,
        }],
        columns: 1,
        legend: vec![
            key("piece", KeyMark::Point(Stamp::Series(0))),
            key("saturated wood", KeyMark::Line(Stamp::Quiet, true)),
        ],
        woods: Woods::Nowhere,
        data: FigureData::default(),
    }
}
