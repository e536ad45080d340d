//! Owns what is said of a `use` that leads to no file of the set.

use crate::problem::{Code, Problem, Span};

use super::confined::Refusal;

/// The problem of files that use each other in a circle; the chain is the way from the file that is
/// used back to the one that uses it.
pub(super) fn circle(chain: &[&str], span: Span) -> Problem {
    let names: Vec<&str> = chain.last().into_iter().chain(chain).copied().collect();
    let message = format!("these files use each other in a circle: {}", names.join(" uses "));
    Problem::new(Code::UseCircle, span, message)
        .help("leave one of these lines out; each file of a set is read once")
}

/// More than is taken in.
pub(super) fn too_many(span: Span, what: &str) -> Box<Problem> {
    let message = format!("this set has more than {what}, so what follows is not taken in");
    Box::new(Problem::new(Code::UseTooMany, span, message).help("put what belongs together into one file"))
}

/// A file that there is and that cannot be read.
pub(super) fn unreadable(why: &str, span: Span) -> Problem {
    Problem::new(Code::UseUnreadable, span, format!("this file cannot be read: {why}"))
        .help("see to it that it can be read, or leave this line out")
}

/// A path that leads to no file that may be read, with a path near it that does.
pub(super) fn refused(why: &Refusal, near: Option<String>, span: Span) -> Box<Problem> {
    let outside = "only files in the folder of the files on the command line, and below it, are read";
    Box::new(match why {
        Refusal::Empty => Problem::new(Code::UseMissing, span, "no file is named here")
            .help("write its name in quotes, such as  use \"bike.tune\""),
        Refusal::Absolute => Problem::new(Code::UseOutside, span, "this path begins at the top of a disk")
            .help(format!(
                "write the way from this file to the other, such as  use \"bikes/trail.tune\"; {outside}"
            )),
        Refusal::Outside => {
            Problem::new(Code::UseOutside, span, "this path leads out of the folder").help(outside)
        }
        Refusal::Backslash(right) => Problem::new(
            Code::UseMissing,
            span,
            "folders are parted by `\\` here, which not every system reads",
        )
        .help(format!("write  use \"{right}\""))
        .fix(format!("\"{right}\"")),
        Refusal::Missing => {
            let problem = Problem::new(Code::UseMissing, span, "there is no such file");
            match near {
                Some(near) => problem.help(format!("did you mean \"{near}\"?")).fix(format!("\"{near}\"")),
                None => problem.help("the path is seen from the file in which it stands"),
            }
        }
        Refusal::Barred(why) => unreadable(why, span),
        Refusal::NoFile => Problem::new(Code::UseUnreadable, span, "this is a folder, or no ordinary file")
            .help("name a file, such as  use \"bike.tune\""),
    })
}
