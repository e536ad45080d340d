//! Owns what is done while many rides are ridden: how far it is, where somebody looks, and Ctrl-C, which ends
//! it with what it has.

use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread;
use std::time::{Duration, Instant};

use crate::rehearsal::Course;
use crate::show;

use super::screen::Screen;

/// What takes no longer than this is not talked about.
const QUIET: Duration = Duration::from_secs(2);
/// How often is told how far it is.
const PAUSE: Duration = Duration::from_millis(250);
/// Signals that come so close to each other are one.
const ONE_WISH: Duration = Duration::from_millis(500);
/// The status of a program that Ctrl-C ended at once.
const INTERRUPTED: i32 = 130;

/// Does some work that takes its course. The first Ctrl-C ends the course, the second the program.
pub(super) fn while_patient<T>(course: &Arc<Course>, screen: Screen, work: impl FnOnce() -> T) -> T {
    let ended = Arc::clone(course);
    let mut first: Option<Instant> = None;
    // without it Ctrl-C ends the program, as ever
    let _ = ctrlc::set_handler(move || match first {
        None => {
            first = Some(Instant::now());
            ended.end();
        }
        // one wish to stop may come twice, to the program and to its group
        Some(at) if at.elapsed() < ONE_WISH => {}
        Some(_) => std::process::exit(INTERRUPTED),
    });
    thread::scope(|scope| {
        let (done, is_done) = channel::<()>();
        if std::io::stderr().is_terminal() {
            scope.spawn(move || tell(course, screen, &is_done));
        }
        let result = work();
        drop(done);
        result
    })
}

/// Tells on one line how far it is, until it is done.
fn tell(course: &Course, screen: Screen, is_done: &Receiver<()>) {
    let begun = Instant::now();
    let mut wait = QUIET;
    while is_done.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
        if wait == QUIET {
            screen.say("This takes a while. Press Ctrl-C to stop here and see the result so far.");
            wait = PAUSE;
        }
        let width = screen.width() - 1;
        let line = show::rides_so_far(course.ridden(), begun.elapsed().as_secs_f64(), width);
        screen.raw(&format!("\r{line:width$.width$}"));
    }
    if wait == PAUSE {
        screen.raw(&format!("\r{:1$}\r", "", screen.width() - 1));
    } else if course.is_ended() {
        // behind the ^C that the terminal wrote
        screen.raw("\n");
    }
}
