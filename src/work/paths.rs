//! Paths as words: what a day file calls a log, told apart without a file system.
//!
//! In: paths as people and programs write them, with `/` or `\`. Out: their parts.
//! Nothing here asks whether a file exists.

/// The parts of a path, `.` and what `..` undoes taken out.
pub fn parts(path: &str) -> Vec<&str> {
    let mut parts: Vec<&str> = Vec::new();
    for part in path.split(['/', '\\']) {
        match part {
            "" | "." => {}
            ".." if parts.last().is_some_and(|last| *last != "..") => {
                parts.pop();
            }
            _ => parts.push(part),
        }
    }
    parts
}

/// The last part: what people call the file.
pub fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}

/// The file's name without its ending.
pub fn stem(path: &str) -> &str {
    let name = file_name(path);
    match name.rsplit_once('.') {
        Some((stem, _)) if !stem.is_empty() => stem,
        _ => name,
    }
}

/// Where a path that a day file names lies, seen from where the day file lies.
pub fn beside(day_file: &str, named: &str) -> String {
    let folder = &day_file[..day_file.len() - file_name(day_file).len()];
    if is_absolute(named) || folder.is_empty() {
        return named.to_owned();
    }
    format!("{folder}{named}")
}

/// The path of a file as a day file would name it; the inverse of [`beside`].
pub fn named_from(day_file: &str, path: &str) -> String {
    if is_absolute(path) != is_absolute(day_file) {
        return path.to_owned();
    }
    let (mut folder, parts) = (parts(day_file), parts(path));
    folder.pop();
    let common = folder.iter().zip(&parts).take_while(|(a, b)| a == b).count();
    let up = folder[common..].iter().map(|_| "..");
    up.chain(parts[common..].iter().copied()).collect::<Vec<_>>().join("/")
}

/// How many parts two paths share at their ends; 0 when their file names differ.
pub fn shared_end(a: &str, b: &str) -> usize {
    let (a, b) = (parts(a), parts(b));
    a.iter().rev().zip(b.iter().rev()).take_while(|(a, b)| a == b).count()
}

fn is_absolute(path: &str) -> bool {
    let drive = path.as_bytes().get(1) == Some(&b':');
    path.starts_with(['/', '\\']) || drive
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_its_parts_however_it_is_written() {
        let rows: [(&str, &[&str]); 6] = [
            ("a.csv", &["a.csv"]),
            ("./logs/a.csv", &["logs", "a.csv"]),
            ("logs\\may\\a.csv", &["logs", "may", "a.csv"]),
            ("logs//may/../a.csv", &["logs", "a.csv"]),
            ("../a.csv", &["..", "a.csv"]),
            ("../../a.csv", &["..", "..", "a.csv"]),
        ];
        for (path, expected) in rows {
            assert_eq!(parts(path), expected, "{path}");
        }
    }

    #[test]
    fn a_log_lies_beside_its_day_file() {
        let rows = [
            ("day.json", "a.csv", "a.csv"),
            ("may/day.json", "logs/a.csv", "may/logs/a.csv"),
            ("C:\\may\\day.json", "a.csv", "C:\\may\\a.csv"),
            ("may/day.json", "/home/a.csv", "/home/a.csv"),
            ("may/day.json", "D:/a.csv", "D:/a.csv"),
        ];
        for (day, named, expected) in rows {
            assert_eq!(beside(day, named), expected, "{named} of {day}");
        }
    }

    #[test]
    fn a_path_named_from_a_day_file_leads_back() {
        let rows = [
            ("may/day.json", "june/logs/a.csv", "../june/logs/a.csv"),
            ("may/day.json", "may/a.csv", "a.csv"),
            ("day.json", "june/a.csv", "june/a.csv"),
            ("/x/may/day.json", "/x/june/a.csv", "../june/a.csv"),
            ("day.json", "/x/june/a.csv", "/x/june/a.csv"),
        ];
        for (day, path, expected) in rows {
            assert_eq!(named_from(day, path), expected, "{path} of {day}");
            assert_eq!(parts(&beside(day, expected)), parts(path), "{path} of {day}");
        }
    }

    #[test]
    fn stems_keep_what_is_not_an_ending() {
        let rows = [("x/run 1.csv", "run 1"), (".csv", ".csv"), ("log", "log"), ("a.b.c", "a.b")];
        for (path, expected) in rows {
            assert_eq!(stem(path), expected, "{path}");
        }
    }

    #[test]
    fn ends_are_shared_by_whole_parts() {
        assert_eq!(shared_end("x/may/a.csv", "y/may/a.csv"), 2);
        assert_eq!(shared_end("a.csv", "may\\a.csv"), 1);
        assert_eq!(shared_end("aa.csv", "a.csv"), 0);
    }
}
