//! Good files, damaged.

use coldlug_tests::draw::Draw;

use super::entrance::{ALL, Entrance};

fn good(entrance: Entrance) -> Vec<u8> {
    std::fs::read(entrance.good()).expect("a good file")
}

#[test]
fn cut_in_the_middle_of_a_line() {
    let mut draw = Draw::of(3, "cut");
    for entrance in ALL {
        let whole = good(entrance);
        for round in 0..6 {
            let mut at = 1 + draw.below(whole.len() - 2);
            // A rule sheet or an event file cut at a line's end may be a shorter good one.
            while whole[at - 1] == b'\n' || whole[at] == b'\n' || whole[at] == b'\r' {
                at -= 1;
            }
            if entrance == Entrance::Rules {
                // A comment may end anywhere: cut inside a value instead.
                let text = String::from_utf8_lossy(&whole);
                let values: Vec<usize> = text.match_indices(" = \"").map(|(i, _)| i + 4).collect();
                at = *draw.one(&values);
            }
            entrance.refuses(&format!("cut {round}"), &whole[..at]);
        }
    }
}

#[test]
fn bytes_that_are_no_text() {
    let mut draw = Draw::of(4, "bytes");
    for entrance in ALL {
        for byte in [0_u8, 0xff, 0xc0] {
            let mut bytes = good(entrance);
            let at = draw.below(bytes.len());
            bytes.insert(at, byte);
            entrance.refuses(&format!("byte {byte}"), &bytes);
        }
    }
}

#[test]
fn a_line_or_member_twice() {
    for entrance in ALL {
        let text = String::from_utf8(good(entrance)).expect("text");
        let doubled = match entrance {
            // The same member twice in one object.
            Entrance::Map => {
                text.replacen("\"type\"", "\"type\":\"FeatureCollection\",\"type\"", 1)
            }
            // The same line twice.
            Entrance::Events | Entrance::Record => {
                let (first, rest) = text.split_once('\n').expect("several lines");
                format!("{first}\n{first}\n{rest}")
            }
            // The same key twice.
            Entrance::Rules => {
                let line =
                    text.lines().find(|line| line.starts_with("edition")).expect("an edition");
                text.replacen(line, &format!("{line}\n{line}"), 1)
            }
        };
        assert_ne!(doubled, text);
        entrance.refuses("doubled", doubled.as_bytes());
    }
}

#[test]
fn the_refusal_names_the_place() {
    let events = String::from_utf8(good(Entrance::Events)).expect("text");
    let mut lines: Vec<&str> = events.lines().collect();
    lines[4] = "{\"id\": ";
    let answer = Entrance::Events.refuses("line five", lines.join("\n").as_bytes());
    assert!(answer.says("line 5"), "{}", answer.said);

    let rules = String::from_utf8(good(Entrance::Rules)).expect("text");
    let bad = rules.replacen("no_load_amps = \"", "no_load_amps = \"x", 1);
    assert_ne!(bad, rules);
    let answer = Entrance::Rules.refuses("bad value", bad.as_bytes());
    assert!(answer.says("no_load_amps"), "{}", answer.said);
}

#[test]
fn a_flipped_bit_never_ends_in_a_panic() {
    let mut draw = Draw::of(5, "flip");
    for entrance in ALL {
        for _ in 0..15 {
            let mut bytes = good(entrance);
            let at = draw.below(bytes.len());
            bytes[at] ^= 1 << draw.below(8);
            let file = coldlug_tests::places::scratch().join(format!("flip-{entrance:?}"));
            std::fs::write(&file, &bytes).expect("written");
            let answer = entrance.ask(&file);
            let orderly = matches!(answer.status, Some(0..=4));
            assert!(orderly, "{entrance:?}, byte {at}: {answer:?}");
            if entrance == Entrance::Record {
                entrance.is_refusal("a flipped bit", &answer);
            }
        }
    }
}
