//! Owns what is said of a `use` that leads to no file of the set.

use crate::problem::{Code, Problem, Span};

use super::confined::Refusal;

/// The problem of files that use each other in a circle; the chain is the way from the file that is
/// used back to the one that uses it.
pub(super) fn circle(chain: &[&str], span: Span) -> Problem {
    let names: Vec<&str> = chain.last().into_iter().chain(chain).copied().collect();
    let message = format!("these files include each other in a loop: {}", names.join(" uses "));
    Problem::new(Code::UseLoop, span, message)
        .help("take out one of these lines; each file is only read once")
}

/// More than is taken in.
pub(super) fn too_many(span: Span, what: &str) -> Box<Problem> {
    let message = format!("there are more than {what}; the rest is ignored");
    Box::new(Problem::new(Code::UseTooMany, span, message).help("put related lines in one file"))
}

/// A file that there is and that cannot be read.
pub(super) fn unreadable(why: &str, span: Span) -> Problem {
    Problem::new(Code::UseUnreadable, span, format!("can't read this file: {why}"))
        .help("check the file's permissions, or take out this line")
}

/// A path that leads to no file that may be read, with a path near it that does.
pub(super) fn refused(why: &Refusal, near: Option<String>, span: Span) -> Box<Problem> {
    let outside = "`use` can only read files in the same folder as the files you named, or below it";
    Box::new(match why {
        Refusal::Empty => Problem::new(Code::UseMissing, span, "no file is named here")
            .help("write its name in quotes, such as `use \"bike.tune\"`"),
        Refusal::Absolute => Problem::new(Code::UseOutside, span, "this is a full path")
            .help(format!("write the path from this file, such as `use \"bikes/trail.tune\"`; {outside}")),
        Refusal::Outside => {
            Problem::new(Code::UseOutside, span, "this path leads outside your folder").help(outside)
        }
        Refusal::Backslash(right) => {
            Problem::new(Code::UseMissing, span, "this path uses `\\`, which doesn't work on every computer")
                .help(format!("write `use \"{right}\"`"))
                .fix(format!("\"{right}\""))
        }
        Refusal::Missing => {
            let problem = Problem::new(Code::UseMissing, span, "there is no such file");
            match near {
                Some(near) => problem.help(format!("did you mean \"{near}\"?")).fix(format!("\"{near}\"")),
                None => problem.help("the path starts from the folder this file is in"),
            }
        }
        Refusal::Barred(why) => unreadable(why, span),
        Refusal::NoFile => Problem::new(Code::UseUnreadable, span, "this is a folder or a special file")
            .help("name a file, such as `use \"bike.tune\"`"),
    })
}
