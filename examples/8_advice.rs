//! Routes of treatment for a timber: what is possible, what holds the others back, what to measure next.
#![allow(clippy::print_stdout, reason = "an example shows its results")]
use std::path::Path;

use woodstate::numeric::Watch;
use woodstate::study::{AdviseQuestion, Study, advise, choose};
use woodstate::table::read_batch;

fn main() -> woodstate::error::Result<()> {
    // Invented: see datasets-demo/README.md.
    let file = Path::new("datasets-demo/harbour/harbour.xlsx");
    let study = Study::beside(file)?.map_or_else(Study::unstated, Ok)?;
    let batch = choose(read_batch(file, &study.read, &Watch::silent())?, "timber == 'B07'")?;
    let advice = advise(&study, batch, &AdviseQuestion::usual(&study), &Watch::silent())?;

    for timber in &advice.timbers {
        for route in &timber.routes {
            println!("{:9} {} [{}]", route.verdict.word(), route.title, route.evidence);
        }
        for next in &timber.next {
            println!("next: {} ({} verdicts)", next.act, next.n_routes);
        }
    }
    for line in advice.safety.lines() {
        println!("{line}");
    }
    Ok(())
}
