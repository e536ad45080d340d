//! How many laps each method takes, and how often it ends within one click of the hidden best: simulated
//! riders, each through the very session of a ride.
//!
//!     cargo bench --bench methods              every row, 400,000 rides a cell
//!     cargo bench --bench methods -- 20000     fewer rides
//!     cargo bench --bench methods -- 20000 narrow   the rows with this in their name
//!
//! Beside each figure stands what the design says; laps are to be within 1 %, shares within .006.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a benchmark reads the clock and the plans, and prints"
)]

#[path = "../tables/mod.rs"]
mod tables;

use std::time::Instant;

fn main() {
    let mut rides = 400_000;
    let mut only = String::new();
    for argument in std::env::args().skip(1) {
        match argument.parse() {
            Ok(number) => rides = number,
            Err(_) if argument.starts_with("--") => {}
            Err(_) => only = argument,
        }
    }
    let mut beyond = 0;
    let mut measured = std::collections::BTreeMap::new();
    println!("{rides} rides a cell; laps and the share within one click, and what the design says");
    for row in tables::ROWS.iter().filter(|row| row.name.contains(&only)) {
        let begin = Instant::now();
        println!("{}", row.name);
        for (top, laps, share) in row.cells() {
            let cell = tables::cell(row, top, rides);
            measured.insert((row.name, top), cell);
            let fits = (cell.laps / laps - 1.0).abs() <= 0.01 && (cell.share - share).abs() <= 0.006;
            beyond += u32::from(!fits);
            let mark = if fits { "" } else { "   beyond" };
            println!("  N {top:2}  {:.3} {:.4}   {laps:.2} {share:.3}{mark}", cell.laps, cell.share);
        }
        println!("  {:.1} s", begin.elapsed().as_secs_f64());
    }
    println!("{beyond} cells beyond");
    println!("laps over the bracket's, and the share beside the bracket's");
    for ((name, top), cell) in &measured {
        if let (true, Some(bracket)) =
            (["cross-out", "narrow, quick"].contains(name), measured.get(&("bracket", *top)))
        {
            println!(
                "  {name:13} N {top:2}  {:.3}   {:+.3}",
                cell.laps / bracket.laps,
                cell.share - bracket.share
            );
        }
    }
}
