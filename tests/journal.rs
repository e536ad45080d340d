//! A journal's text, as it is read: at every byte where it can be cut, damaged or changed.

use clickwise::record::{Damage, How, Journal, Rest, read_journal};
use rayon::prelude::*;

use crate::support::rides::{Undisturbed, undisturbed};

/// Where each piece of a journal ends, the head first: behind the line with its checksum.
fn ends(text: &str) -> Vec<usize> {
    let mut at = 0;
    let lines = text.split_inclusive('\n').filter_map(|line| {
        at += line.len();
        line.starts_with("seal = \"").then_some(at)
    });
    lines.collect()
}

/// The pieces of a journal, the head first.
fn pieces(text: &str) -> Vec<&str> {
    let ends = ends(text);
    let begins = std::iter::once(0).chain(ends.iter().copied());
    begins.zip(&ends).map(|(begin, end)| &text[begin..*end]).collect()
}

fn read(text: &str) -> Journal {
    read_journal(text.as_bytes()).unwrap_or_else(|damage| panic!("{damage:?}\n{text}"))
}

/// At every byte where `CLICKWISE_BYTES` asks for the long tests, else at every seventh.
fn stride() -> usize {
    if std::env::var_os("CLICKWISE_BYTES").is_some() { 1 } else { 7 }
}

#[test]
fn the_ride_has_every_kind_of_step_and_answer() {
    let Undisturbed { text, journal, .. } = undisturbed();
    assert!(journal.entries.len() >= 50, "{}", journal.entries.len());
    assert_eq!(journal.rest, Rest::Nothing);
    for ask in [
        "say",
        "before",
        "record",
        "set",
        "sag",
        "ride",
        "count",
        "baseline lap",
        "lap",
        "pairs",
        "which lap was better",
    ] {
        assert!(text.contains(&format!("ask = \"{ask}\"")), "{ask}");
    }
    for answer in ["undo", "void", "done", "better", "worse", "12 clicks"] {
        assert!(text.contains(&format!("answer = \"{answer}\"")), "{answer}");
    }
}

#[test]
fn a_journal_cut_at_any_byte_is_read_to_its_last_whole_record() {
    let Undisturbed { text, journal: whole, .. } = undisturbed();
    let ends = ends(text);
    (0..text.len()).into_par_iter().step_by(stride()).for_each(|cut| {
        // the line end of the last line may be missing
        let good = ends.iter().filter(|end| cut + 1 >= **end).count();
        match read_journal(&text.as_bytes()[..cut]) {
            Err(damage) => assert!(good == 0 && damage == Damage::NoHead, "cut at {cut}: {damage:?}"),
            Ok(part) => {
                assert_eq!(part.entries[..], whole.entries[..good - 1], "cut at {cut}");
                let after = cut.saturating_sub(ends[good - 1]);
                let torn = !text.as_bytes()[cut - after..cut].trim_ascii().is_empty();
                assert_eq!(part.rest, if torn { Rest::Torn } else { Rest::Nothing }, "cut at {cut}");
                assert_eq!(part.whole, if torn { cut - after } else { cut }, "cut at {cut}");
            }
        }
    });
}

#[test]
fn a_byte_damaged_anywhere_costs_no_record_before_it_and_is_told() {
    let Undisturbed { text, journal: whole, .. } = undisturbed();
    let ends = ends(text);
    (0..text.len()).into_par_iter().step_by(stride()).for_each(|at| {
        for mask in [0x01, 0x80, 0x20] {
            let mut bytes = text.clone().into_bytes();
            bytes[at] ^= mask;
            let piece = ends.iter().filter(|end| at >= **end).count();
            let told = format!("byte {at} ^ {mask}, of piece {piece}");
            // a checksum that is no longer one makes one piece of two
            let left = bytes.split(|byte| *byte == b'\n').filter(|line| is_check(line)).count();
            match read_journal(&bytes) {
                Err(damage) => {
                    assert_eq!(piece, 0, "{told}: {damage:?}");
                    assert_eq!(damage, Damage::Head { records: left - 1 }, "{told}");
                }
                Ok(part) => {
                    assert!(piece > 0, "{told}: taken for whole");
                    assert_eq!(part.entries[..], whole.entries[..piece - 1], "{told}");
                    match part.rest {
                        Rest::Torn => assert_eq!(left, piece, "{told}"),
                        Rest::Damaged(damaged) => {
                            assert_eq!((damaged.record, damaged.records), (piece, left - piece), "{told}");
                            // of the last record nobody can say whether it is its number that is damaged
                            let told_so = damaged.how == How::Changed || damaged.records == 1;
                            assert!(told_so, "{told}: {:?}", damaged.how);
                            let line = 1 + text[..ends[piece - 1]].matches('\n').count();
                            assert!(damaged.line - line <= 1, "{told}: line {}", damaged.line);
                        }
                        other => panic!("{told}: {other:?}"),
                    }
                    assert_eq!(part.whole, ends[piece - 1], "{told}");
                }
            }
        }
    });
}

/// Whether a line carries a checksum.
fn is_check(line: &[u8]) -> bool {
    let line = line.strip_suffix(b"\r").unwrap_or(line);
    let check = line.strip_prefix(b"seal = \"").and_then(|rest| rest.strip_suffix(b"\""));
    check.is_some_and(|check| check.len() == 16 && check.iter().all(u8::is_ascii_hexdigit))
}

#[test]
fn line_ends_and_a_byte_order_mark_do_not_count() {
    let Undisturbed { text, journal: whole, .. } = undisturbed();
    let crlf = text.replace('\n', "\r\n");
    let mixed: String = text
        .split_inclusive('\n')
        .enumerate()
        .map(|(index, line)| if index % 3 == 0 { line.replace('\n', "\r\n") } else { line.to_owned() })
        .collect();
    for changed in [&crlf, &mixed, &format!("\u{FEFF}{text}"), &format!("\u{FEFF}{crlf}")] {
        let journal = read(changed);
        assert_eq!((&journal.head, &journal.entries), (&whole.head, &whole.entries));
        assert_eq!((journal.whole, &journal.rest), (changed.len(), &Rest::Nothing));
    }
    // and a change is noticed all the same
    let changed = crlf.replacen("answer = \"better\"", "answer = \"worse\"", 1);
    assert!(matches!(read(&changed).rest, Rest::Damaged(_)));
}

#[test]
fn a_record_that_is_removed_is_told() {
    let Undisturbed { text, journal: whole, .. } = undisturbed();
    let pieces = pieces(text);
    for gone in 1..pieces.len() {
        let left: Vec<&str> =
            pieces.iter().enumerate().filter(|(at, _)| *at != gone).map(|(_, text)| *text).collect();
        let journal = read(&left.concat());
        assert_eq!(journal.entries[..], whole.entries[..gone - 1], "without {gone}");
        match journal.rest {
            Rest::Nothing => assert_eq!(gone, pieces.len() - 1),
            Rest::Damaged(damaged) => {
                assert_eq!((damaged.record, damaged.records), (gone, left.len() - gone), "without {gone}");
                assert_eq!(damaged.how, How::Missing, "without {gone}");
            }
            other => panic!("without {gone}: {other:?}"),
        }
    }
}

/// Nothing is lost where a record is there twice.
#[test]
fn a_record_that_is_doubled_counts_once() {
    let Undisturbed { text, journal: whole, .. } = undisturbed();
    let pieces = pieces(text);
    for twice in 1..pieces.len() {
        let mut more = pieces.clone();
        more.insert(twice, pieces[twice]);
        let journal = read(&more.concat());
        assert_eq!(journal.entries, whole.entries, "twice {twice}");
        let Rest::Forked(fork) = journal.rest else { panic!("twice {twice}: {:?}", journal.rest) };
        assert!(fork.their_entries.is_empty());
        assert_eq!(&fork.ours, text);
        // with half a record behind it all it is not looked into any further, and still told
        let torn = read(&(more.concat() + "\n[[answer]]\nnumb"));
        assert_eq!(torn.entries[..], whole.entries[..twice], "twice {twice}");
        let Rest::Damaged(damaged) = torn.rest else { panic!("twice {twice}: {:?}", torn.rest) };
        assert_eq!((damaged.record, damaged.how), (twice + 1, How::Doubled), "twice {twice}");
    }
}

#[test]
fn records_that_are_swapped_are_told() {
    let Undisturbed { text, journal: whole, .. } = undisturbed();
    let pieces = pieces(text);
    for first in 1..pieces.len() - 1 {
        let mut other = pieces.clone();
        other.swap(first, first + 1);
        let journal = read(&other.concat());
        assert_eq!(journal.entries[..], whole.entries[..first - 1], "swapped {first}");
        let Rest::Damaged(damaged) = journal.rest else { panic!("swapped {first}: {:?}", journal.rest) };
        assert_eq!((damaged.record, damaged.how), (first, How::Moved), "swapped {first}");
        assert_eq!(damaged.records, pieces.len() - first);
    }
}

/// What a person puts between records or at the end is no record, and no damage.
#[test]
fn blank_lines_and_comments_are_a_persons() {
    let Undisturbed { text, journal: whole, .. } = undisturbed();
    let pieces = pieces(text);
    for remark in ["\n", "# good loop\n", "\n\n# good loop\n\n", "# good loop", "  # r\u{fc}ck\r\n", "   "] {
        let at_the_end = format!("{text}{remark}");
        let journal = read(&at_the_end);
        assert_eq!(journal.rest, Rest::Nothing, "{remark:?}");
        assert_eq!((journal.entries.len(), journal.whole), (whole.entries.len(), at_the_end.len()));
        if remark.ends_with('\n') {
            let between = pieces.join(remark);
            assert_eq!(read(&between).entries, whole.entries, "{remark:?}");
        }
    }
    // before half a record a comment is kept, and the half is not
    let torn = format!("{text}\n# mine\n\n[[answer]]\nnumber = 7");
    let journal = read(&torn);
    assert_eq!((journal.rest, &torn[journal.whole..]), (Rest::Torn, "\n[[answer]]\nnumber = 7"));
}

#[test]
fn a_later_format_and_an_unfinished_merge_are_never_called_damaged() {
    let Undisturbed { text, .. } = undisturbed();
    let later = text.replacen("format = 1", "format = 2", 1).replacen("plan = ", "course = ", 1);
    assert_eq!(read_journal(later.as_bytes()), Err(Damage::Later(2)));
    assert_eq!(read_journal(b"\xEF\xBB\xBFformat = 12\r\n"), Err(Damage::Later(12)));
    let marked = format!("{text}<<<<<<< HEAD\nx\n=======\ny\n>>>>>>> other\n");
    let line = text.lines().count() + 1;
    assert_eq!(read_journal(marked.as_bytes()), Err(Damage::Merge { line }));
    for bytes in [&b"hello\n"[..], b"\0\0\0\0", b"[fork.rebound]\nvalue = 7\n"] {
        assert_eq!(read_journal(bytes), Err(Damage::NoJournal));
    }
}
