//! `init` and what every command says where there is no store.

use crate::desk::{Counter, run_with};

#[test]
fn a_store_is_made_once() {
    let counter = Counter::bare();
    let made = counter.run(&["init", "--name", "Tern Slip", "--by", "HP"]).good();
    assert_eq!(made.answer(), "the store of Tern Slip is made");
    let again = counter.run(&["init", "--name", "Tern Slip", "--by", "HP"]);
    assert_eq!(again.exit, 73, "{again:?}");
    assert!(again.err.contains("is there already"), "{}", again.err);
    assert_eq!(
        counter.run(&["stock"]).good().answer(),
        "0 parts, 0 with nothing on the shelf"
    );
}

#[test]
fn what_cannot_be_a_store_is_not_made() {
    let counter = Counter::bare();
    for (words, exit) in [
        (vec!["init", "--name", " ", "--by", "HP"], 2),
        (vec!["init", "--name", "T", "--currency", "QQQ", "--by", "HP"], 2),
        (
            vec!["init", "--name", "T", "--training-day", "25/11/26", "--by", "HP"],
            2,
        ),
        (vec!["init", "--name", "T"], 2),
        (vec!["init", "--name", "T", "--method", "lifo", "--by", "HP"], 2),
        (vec!["init", "--name", "T", "--by", "HP", "--dry-run"], 2),
        (vec!["init", "--by", "HP"], 2),
    ] {
        let ran = counter.run(&words);
        assert_eq!(
            (ran.exit, counter.store().exists()),
            (exit, false),
            "{words:?} {ran:?}"
        );
    }
}

#[test]
fn every_command_without_a_store_says_how_to_make_one() {
    let counter = Counter::bare();
    for words in [
        vec!["stock"],
        vec!["settings"],
        vec!["undo", "PCK-1", "--by", "HP"],
    ] {
        let ran = counter.run(&words);
        assert_eq!(ran.exit, 66, "{words:?} {ran:?}");
        assert!(ran.err.contains("bincard init --name"), "{}", ran.err);
        assert!(
            ran.err.contains(&counter.store().display().to_string()),
            "{}",
            ran.err
        );
        assert!(!counter.store().exists());
    }
}

#[test]
fn the_default_store_lies_under_the_data_folder() {
    let counter = Counter::bare();
    let folder = counter.folder().display().to_string();
    let env = |name: &str| (name == "XDG_DATA_HOME").then(|| folder.clone());
    let ran = run_with(&["stock"], &env);
    assert!(ran.err.contains(&format!("{folder}/bincard/store.db")), "{ran:?}");
    assert_eq!(run_with(&["init", "--name", "T", "--by", "HP"], &env).exit, 0);
    assert!(counter.folder().join("bincard/store.db").exists());
    // A relative folder in the environment is not believed (XDG base directory specification).
    let relative = run_with(&["stock"], &|name| {
        (name == "XDG_DATA_HOME").then(|| "data".to_owned())
    });
    assert_eq!(relative.exit, 2, "{relative:?}");
}
