//! Colour and signs by environment and terminal.

use bincard::print::look::{ColorChoice, Look, Tone, decide_ascii, decide_color};

/// An environment of these variables alone.
fn env<'a>(set: &'a [(&'a str, &'a str)]) -> impl Fn(&str) -> Option<String> + 'a {
    move |name| {
        set.iter()
            .find(|(known, _)| *known == name)
            .map(|(_, value)| (*value).to_owned())
    }
}

#[test]
fn colour_follows_one_order_in_every_environment() {
    // Four variables set or not, at a terminal or not: first that speaks wins.
    for bits in 0..32_u8 {
        let on = |bit: u8| bits & (1 << bit) != 0;
        let mut set = Vec::new();
        for (bit, name, value) in [
            (0, "NO_COLOR", "1"),
            (1, "CLICOLOR_FORCE", "1"),
            (2, "TERM", "dumb"),
            (3, "LANG", "C"),
        ] {
            if on(bit) {
                set.push((name, value));
            }
        }
        let (no_color, force, dumb, tty) = (on(0), on(1), on(2), on(4));
        let expected = if no_color {
            false
        } else if force {
            true
        } else {
            tty && !dumb
        };
        assert_eq!(
            decide_color(ColorChoice::Auto, &env(&set), tty),
            expected,
            "{set:?} tty {tty}"
        );
        assert!(
            decide_color(ColorChoice::Always, &env(&set), tty),
            "{set:?} tty {tty}"
        );
        assert!(
            !decide_color(ColorChoice::Never, &env(&set), tty),
            "{set:?} tty {tty}"
        );
    }
}

#[test]
fn empty_variables_say_nothing_and_zero_forces_nothing() {
    for (set, tty, expected) in [
        (vec![("NO_COLOR", "")], true, true),
        (vec![("NO_COLOR", "0")], true, false),
        (vec![("CLICOLOR_FORCE", "")], false, false),
        (vec![("CLICOLOR_FORCE", "0")], false, false),
        (vec![("TERM", "xterm")], true, true),
        (vec![("TERM", "xterm")], false, false),
    ] {
        assert_eq!(
            decide_color(ColorChoice::Auto, &env(&set), tty),
            expected,
            "{set:?}"
        );
    }
}

#[test]
fn the_first_locale_variable_that_speaks_decides_on_signs() {
    // Order of LC_ALL, LC_CTYPE, LANG: POSIX.1-2017, 8.2.
    for (set, ascii) in [
        (vec![], true),
        (vec![("LANG", "en_GB.UTF-8")], false),
        (vec![("LANG", "en_GB.utf8")], false),
        (vec![("LANG", "de_DE.UTF-8@euro")], false),
        (vec![("LC_CTYPE", "UTF-8")], false),
        (vec![("LANG", "C")], true),
        (vec![("LANG", "en_GB.ISO-8859-1")], true),
        (vec![("LANG", "en_GB")], true),
        (vec![("LC_ALL", "C"), ("LANG", "en_GB.UTF-8")], true),
        (
            vec![("LC_ALL", ""), ("LC_CTYPE", ""), ("LANG", "en_GB.UTF-8")],
            false,
        ),
        (vec![("LC_CTYPE", "C.UTF-8"), ("LANG", "C")], false),
        (vec![("LC_ALL", "POSIX"), ("LC_CTYPE", "C.UTF-8")], true),
    ] {
        assert_eq!(decide_ascii(&env(&set)), ascii, "{set:?}");
    }
}

#[test]
fn a_seven_bit_terminal_gets_signs_it_has() {
    let ascii = Look {
        ascii: true,
        ..Look::PIPE
    };
    assert_eq!(
        ascii.fold("5.5 N·m · 8.5 → 7 · ≤ 80 °C · 8°"),
        "5.5 N.m - 8.5 -> 7 - <= 80 deg C - 8 deg"
    );
    assert_eq!(Look::PIPE.fold("5.5 N·m → x"), "5.5 N·m → x");
}

#[test]
fn paint_adds_nothing_without_colour_and_never_paints_nothing() {
    let color = Look {
        color: true,
        ..Look::PIPE
    };
    assert_eq!(color.paint(Tone::Stop, "SHORT"), "\x1b[1;31mSHORT\x1b[0m");
    assert_eq!(color.paint(Tone::Stop, ""), "");
    assert_eq!(Look::PIPE.paint(Tone::Stop, "SHORT"), "SHORT");
}

#[test]
fn width_limits_only_a_terminal_that_knows_it() {
    let at = |width, tty| {
        Look {
            width,
            tty,
            ..Look::PIPE
        }
        .room()
    };
    assert_eq!((at(80, true), at(80, false), at(0, true)), (Some(80), None, None));
}
