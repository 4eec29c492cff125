//! The site on a port of its own, under a sub-path as many hosts keep it.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex};
use std::time::Duration;

const UNDER: &str = "/shared host/cars";

/// A running server that remembers every request.
pub struct Served {
    server: Child,
    pub address: String,
    asked: Arc<Mutex<Vec<String>>>,
}

impl Served {
    pub fn start() -> Served {
        let under = UNDER.replace(' ', "%20");
        let mut server = Command::new(env!("CARGO_BIN_EXE_workshop"))
            .args(["site", "serve", "--port", "0", "--tell", "--under", &under])
            .env("CI", "true")
            .stdout(Stdio::piped())
            .spawn()
            .expect("the server starts");
        let out = server.stdout.take().expect("its output is piped");
        let asked = Arc::new(Mutex::new(Vec::new()));
        let address = follow(BufReader::new(out), asked.clone())
            .recv_timeout(Duration::from_secs(20))
            .expect("the server says its address; without one, build the site: cargo site build");
        Served { server, address, asked }
    }

    /// Every request so far, as `200 GET /under/file`.
    pub fn asked(&self) -> Vec<String> {
        self.asked.lock().expect("the follower lives").clone()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

/// Follows what the server says: its address first, then the requests.
fn follow(out: impl BufRead + Send + 'static, asked: Arc<Mutex<Vec<String>>>) -> Receiver<String> {
    let (tell, hear) = channel();
    std::thread::spawn(move || {
        for line in out.lines().map_while(Result::ok) {
            if let Some(address) = line.split(' ').find(|word| word.starts_with("http://127.")) {
                let _ = tell.send(address.to_owned());
            } else if line.starts_with(|first: char| first.is_ascii_digit()) {
                asked.lock().expect("no holder panics").push(line);
            }
        }
    });
    hear
}
