//! A set that is checked again whenever one of its files changes.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use crate::support::{Field, program};

/// A running check; stopped when it is dropped.
struct Watched {
    child: Child,
    lines: Receiver<String>,
}

impl Watched {
    fn new(field: &Field) -> Self {
        let mut child = Command::new(program())
            .args(["check", "plan.tune", "--watch"])
            .current_dir(field.path(""))
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let (sender, lines) = channel();
        let (out, err) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
        let other = sender.clone();
        std::thread::spawn(move || {
            BufReader::new(out).lines().map_while(Result::ok).for_each(|line| drop(other.send(line)));
        });
        std::thread::spawn(move || {
            BufReader::new(err).lines().map_while(Result::ok).for_each(|line| drop(sender.send(line)));
        });
        Watched { child, lines }
    }

    /// Waits until it has checked once more, and gives what it said until then.
    #[track_caller]
    fn said(&self) -> String {
        let end = Instant::now() + Duration::from_secs(30);
        let mut said = String::new();
        while !said.contains("Ctrl-C") {
            let left = end.saturating_duration_since(Instant::now());
            let line = self.lines.recv_timeout(left).unwrap_or_else(|_| panic!("it only said: {said}"));
            said += &format!("{line}\n");
        }
        // the result stands on the other stream, and may come a little later
        while let Ok(line) = self.lines.recv_timeout(Duration::from_millis(500)) {
            said += &format!("{line}\n");
        }
        said
    }
}

impl Drop for Watched {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn a_set_is_checked_again_when_a_file_changes() {
    let bike = "bike \"B\"\npart fork\n  rebound 0 to 8 clicks\n";
    let field = Field::with(&[
        ("plan.tune", "use \"bike.tune\"\nplan \"P\"\nsteps\n  tune every rebound\n"),
        ("bike.tune", &bike.replace("clicks", "clciks")),
    ]);
    let watched = Watched::new(&field);
    let said = watched.said();
    assert!(said.contains("bike.tune:3:18: error unit-unknown"), "{said}");
    // the used file is mended, as an editor does that saves by a rename
    field.write("bike.tune~", bike);
    std::fs::rename(field.path("bike.tune~"), field.path("bike.tune")).unwrap();
    let said = watched.said();
    assert!(!said.contains("error") && said.contains("At most"), "{said}");
    // a file that is gone for a moment ends nothing
    std::fs::rename(field.path("plan.tune"), field.path("gone.tune")).unwrap();
    let said = watched.said();
    assert!(said.contains("Can't read"), "{said}");
    std::fs::rename(field.path("gone.tune"), field.path("plan.tune")).unwrap();
    assert!(watched.said().contains("At most"));
    field.run(&["check", "plan.tune", "--watch", "--fix"]).ends(2);
}
