//! The files of the project, read once for all rules.

use super::tokens::{Cut, Token, cut};
use std::{fs, path::Path, sync::LazyLock};

/// Every text file of the project, without build output and dot folders.
pub static PROJECT: LazyLock<Vec<File>> = LazyLock::new(|| {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    walk(root, "", &mut files);
    tree(files)
});

/// One text file.
pub struct File {
    /// From the top of the project, with `/` between folders.
    pub path: String,
    pub text: String,
    /// Empty for a file that is not Rust.
    pub tokens: Vec<Token>,
    /// The modules that lead to it from the crate, outermost first; empty for a crate root.
    pub modules: Vec<String>,
    test_modules: Vec<Vec<String>>,
}

impl File {
    /// Whether it is Rust source.
    pub fn is_rust(&self) -> bool {
        self.path.ends_with(".rs")
    }

    /// Whether it is Rust source of the program itself.
    pub fn is_program(&self) -> bool {
        self.is_rust() && self.path.starts_with("src/")
    }

    /// The floor it stands on (`domain`, `db` …), if it is source of one.
    pub fn floor(&self) -> Option<&str> {
        self.is_program()
            .then(|| self.modules.first().map(String::as_str))
            .flatten()
    }
}

/// Makes a tree of files from paths and texts, in the order given.
///
/// Panics, naming file and line, where a Rust file cannot be cut into tokens.
pub fn tree(files: impl IntoIterator<Item = (String, String)>) -> Vec<File> {
    let mut files: Vec<File> = files.into_iter().map(|(path, text)| file(path, text)).collect();
    let for_tests: Vec<Vec<String>> = files.iter().flat_map(|file| file.test_modules.clone()).collect();
    for file in files.iter_mut().filter(|file| file.is_program()) {
        if for_tests.iter().any(|module| file.modules.starts_with(module)) {
            file.tokens.iter_mut().for_each(|token| token.tested = true);
        }
    }
    files
}

fn file(path: String, text: String) -> File {
    let modules = modules(&path);
    if !path.ends_with(".rs") {
        return File {
            path,
            text,
            tokens: Vec::new(),
            modules,
            test_modules: Vec::new(),
        };
    }
    match cut(&text) {
        Ok(Cut { tokens, test_modules }) => {
            let full = |module: Vec<String>| modules.iter().cloned().chain(module).collect();
            let test_modules = test_modules.into_iter().map(full).collect();
            File {
                path,
                text,
                tokens,
                modules,
                test_modules,
            }
        }
        Err((line, error)) => panic!("{path}:{line}: {error}"),
    }
}

/// `src/a/b.rs` is `a::b`, `src/a/mod.rs` is `a`, `src/lib.rs` is the crate itself.
fn modules(path: &str) -> Vec<String> {
    let inner = path.strip_prefix("src/").unwrap_or(path);
    let inner = inner.strip_suffix(".rs").unwrap_or(inner);
    let mut modules: Vec<String> = inner.split('/').map(str::to_owned).collect();
    let last = modules.last().map(String::as_str);
    if last == Some("mod") || (modules.len() == 1 && matches!(last, Some("lib" | "main"))) {
        modules.pop();
    }
    modules
}

fn walk(folder: &Path, path: &str, files: &mut Vec<(String, String)>) {
    let entries = fs::read_dir(folder).expect("the folder can be listed");
    let mut entries: Vec<_> = entries
        .map(|entry| entry.expect("the entry can be read"))
        .collect();
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let name = entry.file_name().into_string().expect("a file name is Unicode");
        let below = if path.is_empty() {
            name.clone()
        } else {
            format!("{path}/{name}")
        };
        if entry.file_type().expect("the entry has a type").is_dir() {
            if name != "target" && !name.starts_with('.') {
                walk(&entry.path(), &below, files);
            }
        } else if let Ok(text) = String::from_utf8(fs::read(entry.path()).expect("the file can be read")) {
            files.push((below, text));
        }
    }
}

#[test]
fn the_whole_project_is_seen() {
    for path in [
        "Cargo.toml",
        "src/lib.rs",
        "src/main.rs",
        "tests/it/main.rs",
        "tests/it/house/source.rs",
    ] {
        assert!(
            PROJECT.iter().any(|file| file.path == path),
            "{path} was not read, so no rule reaches it"
        );
    }
    assert!(!PROJECT.iter().any(|file| file.path.starts_with("target/")));
}

#[test]
fn a_path_leads_to_a_module() {
    let cases = [
        ("src/lib.rs", ""),
        ("src/main.rs", ""),
        ("src/db/mod.rs", "db"),
        ("src/db/sqlite.rs", "db::sqlite"),
        ("src/cmd/kitting/main.rs", "cmd::kitting::main"),
    ];
    for (path, module) in cases {
        assert_eq!(modules(path).join("::"), module, "{path}");
    }
}

#[test]
fn a_file_declared_for_tests_is_all_tests() {
    let files = [
        ("src/db/mod.rs", "#[cfg(test)]\nmod tests;\nmod post;"),
        ("src/db/tests.rs", "fn here() {}"),
        ("src/db/post.rs", "fn here() {}"),
    ];
    let files = tree(files.map(|(path, text)| (path.to_owned(), text.to_owned())));
    let tested = |path: &str| files.iter().find(|file| file.path == path).unwrap().tokens[0].tested;
    assert!(tested("src/db/tests.rs"));
    assert!(!tested("src/db/post.rs"));
}
