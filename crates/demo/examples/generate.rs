//! Writes the demo logbook and says how long it took: `cargo run --release -p demo --example generate FILE [YEARS]`.

use std::path::PathBuf;
use std::time::Instant;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let path = PathBuf::from(arguments.next().ok_or("which file?")?);
    let years = arguments.next().map_or(Ok(2), |text| text.parse())?;
    let begun = Instant::now();
    let summary = demo::write(&path, &demo::Options { years, seed: 1 }, &mut |_, _| true)?;
    println!("{summary:?} in {:.1} s", begun.elapsed().as_secs_f64());
    Ok(())
}
