//! Chromium over the WebDriver protocol: JSON over HTTP, so a small blocking client
//! is all it takes. Source: W3C Recommendation "WebDriver" (2018), and Chromium's
//! driver for what begins with `goog`.

use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{Duration, Instant};

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};

/// A page that takes longer has stopped.
const PATIENCE: Duration = Duration::from_secs(90);
/// The protocol's name for the one field of an element's reference.
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";
const ARGUMENTS: [&str; 11] = [
    "--headless",
    // A click must not chase a page that still scrolls; bars take width from the page.
    "--force-prefers-reduced-motion",
    "--hide-scrollbars",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
];

/// A browser of its own, with an empty profile.
pub struct Browser {
    driver: Child,
    agent: ureq::Agent,
    session: String,
    /// Where it saves files.
    pub saves: PathBuf,
}

impl Browser {
    pub fn start() -> Browser {
        let (driver, port) = driver();
        let saves = new_folder();
        let agent = agent();
        let root = format!("http://127.0.0.1:{port}/session");
        let wanted = json!({ "capabilities": { "alwaysMatch": {
            "browserName": "chrome",
            "goog:chromeOptions": { "args": ARGUMENTS, "prefs": {
                "download.default_directory": saves, "download.prompt_for_download": false } },
            "goog:loggingPrefs": { "browser": "ALL", "performance": "ALL" },
        } } });
        let made = send(&agent, &root, &wanted);
        let id = made["sessionId"].as_str().expect("a session has a number");
        Browser { driver, session: format!("{root}/{id}"), agent, saves }
    }

    pub fn open(&self, address: &str) {
        self.post("url", &json!({ "url": address }));
    }

    /// Runs a function body in the page; `arguments[0]` is `with`.
    pub fn run(&self, body: &str, with: impl Into<Value>) -> Value {
        self.post("execute/sync", &json!({ "script": body, "args": [with.into()] }))
    }

    /// The same for a body that awaits.
    pub fn run_async(&self, body: &str, with: impl Into<Value>) -> Value {
        let script = format!(
            "const done = arguments[1]; (async (given) => {{ {body} }})(arguments[0]).then(done)"
        );
        self.post("execute/async", &json!({ "script": script, "args": [with.into()] }))
    }

    /// Waits until an expression is true in the page.
    pub fn wait(&self, expression: &str) {
        let until = Instant::now() + PATIENCE;
        while self.run(&format!("return Boolean({expression})"), Value::Null) != true {
            assert!(Instant::now() < until, "never true: {expression}\n{:#?}", self.console());
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    pub fn click(&self, css: &str) {
        self.post(&format!("element/{}/click", self.element(css)), &json!({}));
    }

    /// Chooses a file in a file field.
    pub fn choose(&self, css: &str, file: &Path) {
        let text = file.to_str().expect("a path in Unicode");
        self.post(&format!("element/{}/value", self.element(css)), &json!({ "text": text }));
    }

    /// Presses keys, each down and up, wherever the focus is.
    pub fn press(&self, key: char) {
        let strokes = json!([{ "type": "keyDown", "value": key.to_string() },
                             { "type": "keyUp", "value": key.to_string() }]);
        let keyboard = json!([{ "type": "key", "id": "keyboard", "actions": strokes }]);
        self.post("actions", &json!({ "actions": keyboard }));
    }

    /// A command of Chromium's own protocol.
    pub fn chromium(&self, command: &str, with: &Value) -> Value {
        self.post("goog/cdp/execute", &json!({ "cmd": command, "params": with }))
    }

    /// What the console said since last asked, worse than a remark.
    pub fn console(&self) -> Vec<String> {
        let entries = self.post("se/log", &json!({ "type": "browser" }));
        let worse = |entry: &&Value| !matches!(entry["level"].as_str(), Some("INFO" | "DEBUG"));
        entries.as_array().into_iter().flatten().filter(worse).map(Value::to_string).collect()
    }

    /// Every address that the page or its worker asked for since last asked.
    pub fn addresses(&self) -> Vec<String> {
        let entries = self.post("se/log", &json!({ "type": "performance" }));
        let texts = entries.as_array().into_iter().flatten().filter_map(|e| e["message"].as_str());
        let events = texts.filter_map(|text| serde_json::from_str::<Value>(text).ok());
        let sent = events
            .map(|event| event["message"].clone())
            .filter(|message| message["method"] == "Network.requestWillBeSent");
        sent.filter_map(|m| Some(m["params"]["request"]["url"].as_str()?.to_owned())).collect()
    }

    /// The sheet of paper that printing gives, as PDF.
    pub fn printed(&self, width_cm: f64, height_cm: f64) -> Vec<u8> {
        let page = json!({ "page": { "width": width_cm, "height": height_cm } });
        bytes(&self.post("print", &page))
    }

    fn element(&self, css: &str) -> String {
        let found = self.post("element", &json!({ "using": "css selector", "value": css }));
        found[ELEMENT].as_str().expect("an element has a reference").to_owned()
    }

    fn post(&self, what: &str, with: &Value) -> Value {
        send(&self.agent, &format!("{}/{what}", self.session), with)
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.agent.delete(&self.session).call();
        let _ = self.driver.kill();
        let _ = self.driver.wait();
        let _ = std::fs::remove_dir_all(&self.saves);
    }
}

/// Bytes that came as Base64 text.
pub fn bytes(text: &Value) -> Vec<u8> {
    STANDARD.decode(text.as_str().unwrap_or_default()).expect("Base64")
}

/// Bytes as Base64 text.
pub fn as_text(bytes: &[u8]) -> String {
    STANDARD.encode(bytes)
}

fn driver() -> (Child, u16) {
    let mut driver = Command::new("chromedriver")
        .arg("--port=0")
        .stdout(Stdio::piped())
        .spawn()
        .expect("chromedriver starts; `cargo proof` installs it");
    let mut out = BufReader::new(driver.stdout.take().expect("its output is piped"));
    let port = out.by_ref().lines().map_while(Result::ok).find_map(|line| {
        line.split_once("successfully on port ")?.1.trim_end_matches('.').parse().ok()
    });
    // Read on, so that the driver never waits for a reader.
    std::thread::spawn(move || std::io::copy(&mut out, &mut std::io::sink()));
    (driver, port.expect("chromedriver says its port"))
}

fn new_folder() -> PathBuf {
    static NEXT: AtomicU32 = AtomicU32::new(0);
    let number = NEXT.fetch_add(1, Ordering::Relaxed);
    let name = format!("saves-{}-{number}", std::process::id());
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::create_dir_all(&folder).expect("a folder for saved files");
    folder
}

/// One that asks this machine and no proxy, and hands over the driver's errors.
fn agent() -> ureq::Agent {
    let config = ureq::Agent::config_builder().proxy(None).http_status_as_error(false);
    config.timeout_global(Some(PATIENCE)).build().into()
}

fn send(agent: &ureq::Agent, address: &str, with: &Value) -> Value {
    let answer = agent.post(address).send_json(with);
    let mut answer = answer.unwrap_or_else(|error| panic!("{address}: {error}"));
    let status = answer.status();
    // Pictures of long pages are large.
    let body = answer.body_mut().with_config().limit(200_000_000).read_json::<Value>();
    let value = body.unwrap_or_else(|error| panic!("{address}: {error}"))["value"].take();
    assert!(status.is_success(), "{address} {with}: {}", value["message"]);
    value
}
