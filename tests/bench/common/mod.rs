//! What the benchmarks share: medians of interleaved runs, and texts that are the same on every run.
#![allow(dead_code, reason = "each benchmark uses a part of it")]

use std::time::{Duration, Instant};

/// How long one call takes.
pub fn timed<T>(work: impl FnOnce() -> T) -> Duration {
    let begin = Instant::now();
    let result = work();
    let taken = begin.elapsed();
    std::hint::black_box(result);
    taken
}

pub fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

/// The medians of two works that are done in turn, so that both meet the same moods of the machine.
pub fn in_turn<A, B>(
    rounds: usize,
    mut one: impl FnMut() -> A,
    mut other: impl FnMut() -> B,
) -> (Duration, Duration) {
    let pairs = (0..rounds).map(|_| (timed(&mut one), timed(&mut other)));
    let (ones, others) = pairs.unzip();
    (median(ones), median(others))
}

pub fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

pub fn ratio(one: Duration, other: Duration) -> f64 {
    one.as_secs_f64() / other.as_secs_f64()
}

/// Numbers that look drawn and are the same on every run (a linear congruence).
pub struct Drawn(pub u64);

impl Drawn {
    /// A number below `below`.
    pub fn below(&mut self, below: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % below
    }
}

/// A whole set in one file, as a coach would write it; some of them with an error.
pub fn visit(number: usize) -> String {
    let misspelt = if number.is_multiple_of(7) { "rebuond" } else { "rebound" };
    let unit = if number.is_multiple_of(11) { "clikcs" } else { "clicks" };
    format!(
        "# Visit {number}. All names and numbers are invented.
plan \"Visit {number}\"
  author  \"Lantern Lane coaching\"
  method  bracket   # the one that most know
  at most 36 laps
  change  2 min

bike \"Air bike {number}\"

part fork
  travel  140 mm
  air     3 to 8 bar, sag 17 to 21 %,
          start 4.1 bar at 55 kg, 6.2 bar at 95 kg
  spacers 0 to 4 spacers, start 1 spacer
  low-speed {misspelt}      0 to 14 {unit}, counted from open
  high-speed compression 0 to 3 turns, step 1/2 turn

part shock
  stroke  62.5 mm   # as it is printed on the reservoir
  {misspelt} 0 to 18 clicks, start 9
  lockout open or half or closed

rider \"Mo\"
  weight 78 kg   # in full kit, with pack and water

loop \"Mill loop\"
  lap     4 min
  warm-up 2 laps

# Springs first, then what dampens them.
steps
  say     \"Check tyre pressures, axle and stem bolts before the first lap.\"
  record  temperature
  set     every lockout to open
  measure every spring
  ride    warm-up
  tune    every rebound, at most 6 laps,
          feel \"Does the wheel follow the roots without kicking?\"
  tune    every compression, try firmer first, at most 5 laps

"
    )
}

/// The same matter as TOML.
pub fn visit_as_toml(number: usize) -> String {
    format!(
        "# Visit {number}. All names and numbers are invented.
[[visit]]
plan = \"Visit {number}\"
author = \"Lantern Lane coaching\"
method = \"bracket\"   # the one that most know
at-most = {{ value = 36, unit = \"laps\" }}
change = {{ value = 2, unit = \"min\" }}
bike = \"Air bike {number}\"

[visit.fork]
travel = {{ value = 140, unit = \"mm\" }}
air = {{ range = [3, 8], unit = \"bar\", sag = [17, 21],
  start = [[4.1, 55], [6.2, 95]] }}
spacers = {{ range = [0, 4], unit = \"spacers\", start = 1 }}
low-speed-rebound = {{ range = [0, 14], unit = \"clicks\", counted-from = \"open\" }}
high-speed-compression = {{ range = [0, 3], unit = \"turns\", step = 0.5 }}

[visit.shock]
stroke = {{ value = 62.5, unit = \"mm\" }}   # as it is printed on the reservoir
rebound = {{ range = [0, 18], unit = \"clicks\", start = 9 }}
lockout = [\"open\", \"half\", \"closed\"]

[visit.rider]
name = \"Mo\"
weight = {{ value = 78, unit = \"kg\" }}   # in full kit, with pack and water

[visit.trail]
name = \"Mill loop\"
lap = {{ value = 4, unit = \"min\" }}
warm-up = 2

# Springs first, then what dampens them.
[visit.steps]
say = \"Check tyre pressures, axle and stem bolts before the first lap.\"
record = \"temperature\"
set = [\"every lockout\", \"open\"]
measure = \"every spring\"
ride = \"warm-up\"
tune = [
  {{ what = \"every rebound\", at-most = 6, feel = \"Does the wheel follow the roots without kicking?\" }},
  {{ what = \"every compression\", begin = \"firmer\", at-most = 5 }},
]

"
    )
}

/// Pieces one after the other, filled up with a comment to exactly so many bytes.
pub fn of_length(length: usize, piece: impl Fn(usize) -> String) -> String {
    let mut text = String::with_capacity(length);
    for number in 1.. {
        let next = piece(number);
        if text.len() + next.len() + 2 > length {
            break;
        }
        text += &next;
    }
    text.push('#');
    text.extend(std::iter::repeat_n('-', length - text.len() - 1));
    text.push('\n');
    text.truncate(length);
    text
}
