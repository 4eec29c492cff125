//! Serving the site to this machine, and to no other.
//!
//! In: a folder. Out: its files over HTTP on 127.0.0.1, each with its right type.
//!
//! Invariants: only files that were in the folder when a request came are given,
//! found by their exact address, so no address can climb out of the folder;
//! nothing is written; only GET and HEAD are answered.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io;
use std::net::TcpListener;
use std::path::{Path, PathBuf};

use tiny_http::{Header, Method, Request, Response, Server};

use crate::step::{Trouble, command, found, say};
use crate::words::Serving;

/// Enough that a slow reader does not hold up a page with a worker.
const THREADS: usize = 4;

/// Serves a folder until the process ends, and opens a browser where there is a desktop.
///
/// # Errors
/// [`Trouble`] when no port can be had.
pub fn serve(folder: &Path, serving: &Serving) -> Result<(), Trouble> {
    let server = server(serving.port)?;
    let port = server.server_addr().to_ip().map_or(0, |address| address.port());
    let address = format!("http://127.0.0.1:{port}{}", serving.under);
    say(format!("Pullmark is at {address} (Ctrl-C ends it)"));
    println!("   \"Open the sample day\" there shows a whole sheet.");
    open_browser(&address);
    std::thread::scope(|scope| {
        for _ in 0..THREADS {
            scope.spawn(|| server.incoming_requests().for_each(|r| answer(folder, serving, r)));
        }
    });
    Ok(())
}

fn server(port: u16) -> Result<Server, Trouble> {
    let failed = |error: &dyn std::fmt::Display| {
        Trouble::new(format!("could not serve on 127.0.0.1: {error}"), "Try another: --port 0")
    };
    let listener = match TcpListener::bind(("127.0.0.1", port)) {
        Err(error) if error.kind() == io::ErrorKind::AddrInUse => {
            say(format!("Port {port} is taken; taking a free one"));
            TcpListener::bind(("127.0.0.1", 0))
        }
        other => other,
    };
    let listener = listener.map_err(|error| failed(&error))?;
    Server::from_listener(listener, None).map_err(|error| failed(&error))
}

/// A desktop is not needed; a failure to open it is no failure.
fn open_browser(address: &str) {
    let desktop =
        ["DISPLAY", "WAYLAND_DISPLAY"].iter().any(|name| std::env::var_os(name).is_some());
    let opener = match std::env::consts::OS {
        "macos" => Some("open"),
        _ if desktop => Some("xdg-open"),
        _ => None,
    };
    if std::env::var_os("CI").is_none()
        && let Some(opener) = opener.filter(|opener| found(opener).is_some())
    {
        // What becomes of the browser is the person's business.
        let _ = command(opener, [address]).spawn();
    }
}

fn answer(folder: &Path, serving: &Serving, request: Request) {
    let status = status_and_file(folder, &serving.under, &request);
    if serving.tell {
        println!("{} {} {}", status.0, request.method(), request.url());
    }
    // The reader may have gone; that is no fault of ours.
    let _ = match status {
        (status, None) => request.respond(Response::empty(status)),
        (status, Some((path, file))) => {
            let response = Response::from_file(file).with_status_code(status);
            request.respond(with_headers(response, &path).with_chunked_threshold(usize::MAX))
        }
    };
}

fn status_and_file(
    folder: &Path,
    under: &str,
    request: &Request,
) -> (u16, Option<(PathBuf, File)>) {
    if !matches!(request.method(), Method::Get | Method::Head) {
        return (405, None);
    }
    let path = named(request.url(), under).and_then(|name| files(folder).remove(&name));
    match path.and_then(|path| File::open(&path).ok().map(|file| (path, file))) {
        Some(found) => (200, Some(found)),
        None => (404, None),
    }
}

/// The name of the file that an address asks for, relative to the folder.
fn named(url: &str, under: &str) -> Option<String> {
    let path = url.split(['?', '#']).next()?;
    let name = path.strip_prefix(under)?;
    Some(if name.is_empty() { "index.html".to_owned() } else { name.to_owned() })
}

/// Every file in the folder by its relative name, with `/` between the parts.
fn files(folder: &Path) -> BTreeMap<String, PathBuf> {
    let mut all = BTreeMap::new();
    let mut to_see = vec![(String::new(), folder.to_owned())];
    while let Some((start, folder)) = to_see.pop() {
        for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
            let (path, name) =
                (entry.path(), format!("{start}{}", entry.file_name().to_string_lossy()));
            if path.is_dir() {
                to_see.push((format!("{name}/"), path));
            } else {
                all.insert(name, path);
            }
        }
    }
    all
}

fn with_headers<R: io::Read>(response: Response<R>, path: &Path) -> Response<R> {
    let headers = [
        ("Content-Type", kind(path)),
        ("X-Content-Type-Options", "nosniff"),
        // A rebuilt site is seen at the next reload.
        ("Cache-Control", "no-cache"),
    ];
    headers
        .into_iter()
        .filter_map(|(name, value)| Header::from_bytes(name, value).ok())
        .fold(response, Response::with_header)
}

fn kind(path: &Path) -> &'static str {
    match path.extension().and_then(|extension| extension.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("json") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        Some("wasm") => "application/wasm",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("zip") => "application/zip",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_names_a_file_of_the_folder_or_nothing() {
        let rows = [
            ("/", "/", Some("index.html")),
            ("/a/b/", "/a/b/", Some("index.html")),
            ("/a/b/start.js?new", "/a/b/", Some("start.js")),
            ("/start.js", "/a/b/", None),
            ("/a/b", "/a/b/", None),
        ];
        for (url, under, name) in rows {
            assert_eq!(named(url, under).as_deref(), name, "{url} under {under}");
        }
    }

    /// The folder's own files are found; addresses that climb name none of them.
    #[test]
    fn no_address_climbs_out_of_the_folder() {
        let www = crate::step::root().join("www");
        let files = files(&www);

        assert!(files.contains_key("index.html"));
        for url in ["/../Cargo.toml", "/..%2fCargo.toml", "//etc/passwd", "/./../Cargo.toml"] {
            let name = named(url, "/").unwrap();
            assert!(!files.contains_key(&name), "{url}");
        }
    }
}
