//! The page as one file, built and opened.

use crate::run::{Outcome, node, now, npm, packages, read, root, run, step, write};
use crate::wasm;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// The folder that holds the finished page, seen from the root. Git ignores it.
pub const FOLDER: &str = "www/dist";

/// Builds everything that the page needs, and the page.
pub fn build() -> Outcome {
    step("Looking for Node and npm", node)?;
    step("Building the engine", wasm::build)?;
    step("Installing the page's packages", packages)?;
    step("Building the page", page)
}

/// Builds the page from an engine and packages that are there.
pub fn page() -> Outcome {
    run(&mut npm(&["run", "build"]))?;
    let file = root().join(FOLDER).join("evenfold.html");
    read(&file).map(drop).map_err(|error| format!("`npm run build` ended well, but {error}"))
}

/// Says where the page is and opens it with the demo flock, where this computer can open it.
pub fn open() -> Outcome {
    // The programs that open a file drop what follows `#`, so what they get is a file that leads to it.
    let folder = root().join(FOLDER);
    let door = folder.join("demo.html");
    write(&door, DOOR)?;
    tell();
    if opened(&door) {
        println!("It opens in your browser now, with the demo flock sorted.");
    } else {
        println!("There is nothing here that could open it; open this in a browser yourself:");
        println!("{}#demo", address(&folder.join("evenfold.html")));
    }
    Ok(())
}

/// Says where the page is.
pub fn tell() {
    let file = root().join(FOLDER).join("evenfold.html");
    println!("The page is one file that needs nothing else: {}", file.display());
}

const DOOR: &str = "<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n<title>Evenfold: the demo flock</title>\n\
                    <meta http-equiv=\"refresh\" content=\"0; url=evenfold.html#demo\">\n\
                    <p><a href=\"evenfold.html#demo\">The demo flock</a></p>\n</html>\n";

fn opened(file: &Path) -> bool {
    let (name, arguments): (&str, &[&str]) = if cfg!(windows) {
        ("cmd", &["/C", "start", ""])
    } else if cfg!(target_os = "macos") {
        ("open", &[])
    } else if ["DISPLAY", "WAYLAND_DISPLAY"].iter().any(|name| std::env::var_os(name).is_some()) {
        ("xdg-open", &[])
    } else {
        return false;
    };
    let mut command = Command::new(name);
    command.args(arguments).arg(file).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    let Ok(mut child) = command.spawn() else { return false };
    // Some openers end at once, some stay as long as the browser does.
    let start = now();
    while start.elapsed() < Duration::from_secs(5) {
        match child.try_wait() {
            Ok(None) => std::thread::sleep(Duration::from_millis(50)),
            Ok(Some(status)) => return status.success(),
            Err(_) => return false,
        }
    }
    true
}

/// A file's address for a browser.
fn address(file: &Path) -> String {
    let path = file.to_string_lossy().replace('\\', "/");
    let mut address = String::from(if path.starts_with('/') { "file://" } else { "file:///" });
    for byte in path.bytes() {
        if byte.is_ascii_alphanumeric() || b"/-._~:".contains(&byte) {
            address.push(char::from(byte));
        } else {
            address.push_str(&format!("%{byte:02X}"));
        }
    }
    address
}

#[cfg(test)]
mod tests {
    use super::address;
    use std::path::Path;

    #[test]
    fn an_address_survives_blanks_and_marks() {
        assert_eq!(address(Path::new("/my farm/50%#1.html")), "file:///my%20farm/50%25%231.html");
        assert_eq!(address(Path::new("C:\\flock\\é.html")), "file:///C:/flock/%C3%A9.html");
    }
}
