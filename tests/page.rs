//! The page's side of a running station, as a program speaks it: requests, presses and the stream of events. What the
//! answers should be is left to the tests.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::time::Duration;

use serde_json::{Value, json};

/// Longer than any answer takes on a slow machine.
pub const PATIENCE: Duration = Duration::from_secs(30);

const PRESS: &str = "POST /press";

/// A request as it goes over the line.
fn written_out(request: &str, headers: &[String], body: &str) -> String {
    let length = body.len();
    let headers: String = headers
        .iter()
        .map(|header| format!("{header}\r\n"))
        .collect();
    format!(
        "{request} HTTP/1.1\r\nConnection: close\r\nContent-Length: {length}\r\n{headers}\r\n{body}"
    )
}

/// A station's page on this computer.
#[derive(Debug, Clone, Copy)]
pub struct Page {
    /// Its port.
    pub port: u16,
}

impl Page {
    fn connect(&self) -> Option<TcpStream> {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).ok()?;
        stream.set_read_timeout(Some(PATIENCE)).ok()?;
        Some(stream)
    }

    /// Status, headers and body of a request with these lines.
    pub fn ask(
        &self,
        request: &str,
        headers: &[String],
        body: &str,
    ) -> Option<(u16, String, Vec<u8>)> {
        let mut stream = self.connect()?;
        let text = written_out(request, headers, body);
        stream.write_all(text.as_bytes()).ok()?;
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).ok()?;
        let split = answer.windows(4).position(|window| window == b"\r\n\r\n")?;
        let head = String::from_utf8(answer[..split].to_vec()).ok()?;
        let status = head.split(' ').nth(1)?.parse().ok()?;
        Some((status, head, answer[split + 4..].to_vec()))
    }

    /// The header that a browser of this computer sends.
    pub fn host(&self) -> String {
        format!("Host: 127.0.0.1:{}", self.port)
    }

    /// The answer to a request as a browser makes it.
    pub fn get(&self, path: &str) -> (u16, String, Vec<u8>) {
        let answer = self.ask(&format!("GET {path}"), &[self.host()], "");
        answer.expect("an answer")
    }

    /// How the station stands.
    pub fn state(&self) -> Value {
        serde_json::from_slice(&self.get("/state.json").2).expect("a state")
    }

    /// Sends a press; none where the program went away before it answered.
    pub fn send(&self, press: &Value) -> Option<(u16, Value)> {
        let (status, _, body) = self.ask(PRESS, &self.press_headers(), &press.to_string())?;
        Some((status, serde_json::from_slice(&body).ok()?))
    }

    /// Sends a press but for so many of its last bytes, one at least; the line stays open until it is dropped.
    pub fn begin_to_send(&self, press: &Value, missing: usize) -> Option<TcpStream> {
        let mut stream = self.connect()?;
        let text = written_out(PRESS, &self.press_headers(), &press.to_string());
        let sent = text.len().saturating_sub(missing.max(1));
        stream.write_all(&text.as_bytes()[..sent]).ok()?;
        Some(stream)
    }

    fn press_headers(&self) -> [String; 2] {
        [self.host(), "Content-Type: application/json".to_owned()]
    }

    /// Presses a key for the piece that is up.
    pub fn press(&self, window: &str, number: u64, key: &str) -> (u16, Value) {
        self.send(&press(&self.state(), window, number, key))
            .expect("an answer")
    }

    /// Another window's stream of events, line by line.
    pub fn listen(&self) -> impl Iterator<Item = String> + use<> {
        let mut stream = self.connect().expect("the station listens");
        let request = format!("GET /events HTTP/1.1\r\n{}\r\n\r\n", self.host());
        stream
            .write_all(request.as_bytes())
            .expect("the station listens");
        BufReader::new(stream).lines().map_while(Result::ok)
    }
}

/// A press for what this state shows: what lies over the piece, or the piece.
pub fn press(state: &Value, window: &str, number: u64, key: &str) -> Value {
    let seen = match &state["over"] {
        Value::Null => &state["piece"],
        over => over,
    };
    json!({ "session": state["session"], "window": window, "number": number, "key": key, "seen": seen })
}
