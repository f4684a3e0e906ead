//! Requests as raw text, since a well-behaved client would not send what the server must refuse.

use std::io::{Read, Write};
use std::net::{Ipv4Addr, TcpStream};
use std::time::Duration;

use crate::Result;

/// What came back.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The status code.
    pub status: u16,
    /// Header lines, names in lower case.
    pub headers: Vec<(String, String)>,
    /// The body.
    pub body: Vec<u8>,
}

impl Answer {
    /// The value of a header, by its lower-case name.
    pub fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(key, _)| key == name).map(|(_, value)| value.as_str())
    }
}

/// Sends `method path HTTP/1.1` with the right `Host` and some more header lines.
pub fn ask(port: u16, method: &str, path: &str, headers: &[(&str, &str)]) -> Result<Answer> {
    ask_host(port, &format!("127.0.0.1:{port}"), method, path, headers)
}

/// Like [`ask`] with a `Host` of one's own.
pub fn ask_host(port: u16, host: &str, method: &str, path: &str, headers: &[(&str, &str)]) -> Result<Answer> {
    let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port))?;
    stream.set_read_timeout(Some(Duration::from_secs(60)))?;
    let more: String = headers.iter().map(|(name, value)| format!("{name}: {value}\r\n")).collect();
    write!(stream, "{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{more}\r\n")?;
    let mut bytes = Vec::new();
    stream.read_to_end(&mut bytes)?;

    let end = bytes.windows(4).position(|four| four == b"\r\n\r\n").ok_or("the answer has no end of headers")?;
    let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
    let mut lines = head.split("\r\n");
    let status = lines.next().and_then(|line| line.split(' ').nth(1)).ok_or("the answer has no status")?;
    let headers = lines
        .filter_map(|line| line.split_once(':'))
        .map(|(name, value)| (name.to_ascii_lowercase(), value.trim().to_owned()))
        .collect();
    Ok(Answer { status: status.parse()?, headers, body: bytes[end + 4..].to_vec() })
}
