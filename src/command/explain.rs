//! `clickwise explain` and `clickwise words`: what a problem means, and the words of the language.

use crate::disk;
use crate::problem::Code;
use crate::show;
use crate::vocabulary::nearest;

use super::Exit;
use super::args::ExplainOptions;
use super::screen::{Screen, print};

pub(super) fn run(options: &ExplainOptions, screen: Screen) -> Exit {
    let name = options.code.trim().to_lowercase();
    let found = Code::named(&name).and_then(|code| Some((code, code.explanation()?)));
    let Some((code, explanation)) = found else {
        let near = nearest(&name, Code::ALL.iter().map(|code| code.name()));
        let near = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
        let near = if near.is_empty() { ": type one that `check` shows".to_owned() } else { near };
        screen.say(&format!("`{}` is not a problem code{near}", options.code));
        return Exit::Usage;
    };
    tell(&(show::explained(code, &explanation, screen.width()).join("\n") + "\n"), screen)
}

pub(super) fn words(screen: Screen) -> Exit {
    tell(&show::words(), screen)
}

fn tell(text: &str, screen: Screen) -> Exit {
    match print(text) {
        Ok(()) => Exit::Done,
        Err(error) => {
            screen.say(&format!("Can't print it: {}", disk::in_words(&error)));
            Exit::Disk
        }
    }
}
