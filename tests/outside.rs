//! Checks against things that are not ours: independent implementations of the rules of search and a
//! TOML reader, all in Python. `tests/outside/README.md` lists them with their sources.

use std::process::Command;

use crate::support::{Field, MOMENT, program, project};

fn python(script: &str, arguments: &[&str]) -> String {
    let output = Command::new("python3")
        .arg("-B")
        .arg(project().join("tests/outside").join(script))
        .args(arguments)
        .output()
        .expect("python3 runs");
    let (out, err) = (String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert!(output.status.success(), "{script}:\n{out}\n{err}");
    out.into_owned()
}

#[test]
fn a_thousand_random_rides_settle_where_another_implementation_says() {
    let said = python("bracket.py", &[&program().to_string_lossy(), "1000"]);
    assert!(said.contains("1000 rides settle alike"), "{said}");
}

#[test]
fn a_thousand_random_rides_cross_out_as_another_implementation_does() {
    let said = python("crossing.py", &[&program().to_string_lossy(), "1000"]);
    assert!(said.contains("1000 rides settle alike, and 3 rare ones"), "{said}");
}

#[test]
fn another_reader_reads_settings_and_journal() {
    let text = "plan \"Ünusual \\\\ 'plan'\"\nbike \"B\"\nrider \"Zoë\"\n  weight 64.5 kg\npart fork\n  rebound 0 to 3 turns, counted from open\n  lockout \"fully open\" or half\n  adjuster \"bottom out.resistance\" 0 to 5 clicks\nsteps\n  record temperature\n  record \"ground\"\n  record \"tyre\" in psi\n  tune every rebound, try slower first\n";
    let field = Field::with(&[("set.tune", text)]);
    field.write("answers.txt", "-2.5 C, \"wet – 'slick'\", 23.5 psi\nbetter \"a note # with a hash\"\nworse");
    field
        .run(&[
            "ride",
            "set.tune",
            "--answers",
            "answers.txt",
            "--as-of",
            MOMENT,
            "--journal",
            "j.toml",
            "--settings",
            "s.toml",
        ])
        .ends(0);
    let files = ["s.toml", "j.toml"].map(|name| field.path(name).to_string_lossy().into_owned());
    let said = python("read_toml.py", &[&files[0], &files[1]]);
    let seen: toml::Table = toml::from_str(&said).unwrap();
    let ours: toml::Table = toml::from_str(&field.read("s.toml")).unwrap();
    let journal: toml::Table = toml::from_str(&field.read("j.toml")).unwrap();
    let flat = |table: &toml::Table| {
        let mut lines = Vec::new();
        flatten("", &toml::Value::Table(table.clone()), &mut lines);
        lines
    };
    let listed = |key: &str| {
        let lines = seen[key].as_array().unwrap().iter();
        lines.map(|line| line.as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(listed("first"), flat(&ours));
    assert_eq!(listed("second"), flat(&journal));
    assert!(listed("first").contains(&"conditions.temperature.value = -2.5".to_owned()));
}

/// Every value of a document with its path, a line each, in the order of the paths.
fn flatten(path: &str, value: &toml::Value, lines: &mut Vec<String>) {
    let below = |key: &str| if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") };
    match value {
        toml::Value::Table(table) => {
            let mut keys: Vec<_> = table.keys().collect();
            keys.sort();
            for key in keys {
                flatten(&below(key), &table[key], lines);
            }
        }
        toml::Value::Array(values) => {
            for (index, value) in values.iter().enumerate() {
                flatten(&below(&index.to_string()), value, lines);
            }
        }
        toml::Value::String(text) => lines.push(format!("{path} = {text}")),
        other => lines.push(format!("{path} = {other}")),
    }
}
