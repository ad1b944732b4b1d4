//! A small server for the finished page, for whoever wants to try it over http on this computer.

use crate::app;
use crate::run::{Outcome, root};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The port where none is asked for.
pub const PORT: u16 = 8137;

/// Serves the finished page until it is stopped.
pub fn serve(port: u16) -> Outcome {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(|error| {
        format!("port {port} cannot be used ({error}); choose another: `cargo xtask serve --port N`")
    })?;
    let port = listener.local_addr().map_or(port, |address| address.port());
    let folder = root().join(app::FOLDER).join("site");
    println!("Serving http://127.0.0.1:{port}/#demo to this computer only; Ctrl-C stops it.");
    for stream in listener.incoming().flatten() {
        let folder = folder.clone();
        // A browser that goes away in the middle of an answer is no fault.
        std::thread::spawn(move || answer(stream, &folder).unwrap_or_default());
    }
    Ok(())
}

fn answer(mut stream: TcpStream, folder: &Path) -> std::io::Result<()> {
    stream.set_read_timeout(Some(Duration::from_secs(10)))?;
    let mut lines = BufReader::new(stream.try_clone()?.take(16_384)).lines();
    let request = lines.next().transpose()?.unwrap_or_default();
    for line in lines {
        if line?.is_empty() {
            break;
        }
    }
    let mut words = request.split(' ');
    let (method, target) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
    let file = file(folder, target);
    let (status, kind, body) = match file.and_then(|file| Some((kind(&file), std::fs::read(file).ok()?))) {
        _ if method != "GET" && method != "HEAD" => ("405 Method Not Allowed", TEXT, b"only GET\n".to_vec()),
        Some((kind, body)) => ("200 OK", kind, body),
        None => ("404 Not Found", TEXT, b"no such file\n".to_vec()),
    };
    write!(stream, "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {}\r\n", body.len())?;
    write!(
        stream,
        "Cache-Control: no-cache\r\nX-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n"
    )?;
    if method == "HEAD" { Ok(()) } else { stream.write_all(&body) }
}

/// The file that a request means; nothing where there is none or it lies outside `folder`.
fn file(folder: &Path, target: &str) -> Option<PathBuf> {
    let path = decoded(target.split(['?', '#']).next()?)?;
    let path = path.strip_prefix('/')?;
    let file = folder.join(if path.is_empty() { "index.html" } else { path }).canonicalize().ok()?;
    (file.starts_with(folder.canonicalize().ok()?) && file.is_file()).then_some(file)
}

/// A path with its `%20`s read.
fn decoded(path: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = path.bytes();
    while let Some(byte) = rest.next() {
        let digit = |byte: Option<u8>| char::from(byte?).to_digit(16);
        let byte = if byte == b'%' { digit(rest.next())? * 16 + digit(rest.next())? } else { byte.into() };
        bytes.push(u8::try_from(byte).ok()?);
    }
    String::from_utf8(bytes).ok()
}

const TEXT: &str = "text/plain; charset=utf-8";

fn kind(file: &Path) -> &'static str {
    match file.extension().and_then(|extension| extension.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js" | "mjs") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("csv") => "text/csv; charset=utf-8",
        Some("json" | "map") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        Some("wasm") => "application/wasm",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("ico") => "image/x-icon",
        Some("woff2") => "font/woff2",
        Some("txt" | "md") => TEXT,
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::{answer, file};
    use std::io::{Read, Write};
    use std::net::{TcpListener, TcpStream};
    use std::path::Path;

    fn here() -> &'static Path {
        Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/src"))
    }

    fn ask(request: &str) -> String {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let mut client = TcpStream::connect(listener.local_addr().unwrap()).unwrap();
        write!(client, "{request} HTTP/1.1\r\nHost: x\r\n\r\n").unwrap();
        answer(listener.accept().unwrap().0, here()).unwrap();
        let mut reply = String::new();
        client.read_to_string(&mut reply).unwrap();
        reply
    }

    #[test]
    fn a_file_is_sent_whole_and_a_head_alone() {
        let text = include_str!("serve.rs");
        assert!(ask("GET /serve.rs?x=1").ends_with(text));
        assert!(ask("GET /%73erve.rs").starts_with("HTTP/1.1 200 OK\r\n"));
        let head = ask("HEAD /serve.rs");
        assert!(head.contains(&format!("Content-Length: {}\r\n", text.len())) && head.ends_with("\r\n\r\n"));
        assert!(ask("POST /serve.rs").starts_with("HTTP/1.1 405 "));
        assert!(ask("GET /none").starts_with("HTTP/1.1 404 "));
        assert!(ask("nonsense").starts_with("HTTP/1.1 4"));
    }

    #[test]
    fn nothing_outside_the_folder_is_served() {
        for target in
            ["/../Cargo.toml", "/%2e%2e/Cargo.toml", "//etc/hosts", "/..%2fCargo.toml", "x", "/%zz", "/"]
        {
            assert_eq!(file(here(), target), None, "{target}");
            assert!(!ask(&format!("GET {target}")).contains("200 OK"), "{target}");
        }
    }
}
