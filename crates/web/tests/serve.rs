//! Served on a real socket.

use std::time::Duration;

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use web::router::router;
use web::{Config, serve};

mod common;
use common::TestApp;

#[tokio::test]
async fn a_listener_open_to_the_network_is_refused() {
    let listener = TcpListener::bind("0.0.0.0:0").await.unwrap();
    let app = TestApp::with(Config::new(1));
    let told = serve(listener, router(&app)).await.unwrap_err().to_string();
    assert!(
        told.contains("0.0.0.0") && told.contains("loopback interface only"),
        "{told}"
    );
}

#[tokio::test]
async fn a_page_comes_over_the_wire() {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let port = listener.local_addr().unwrap().port();
    let app = TestApp::with(Config::new(port));
    let serving = tokio::spawn(serve(listener, router(&app)));
    let mut stream = TcpStream::connect(("127.0.0.1", port)).await.unwrap();
    let line = format!("GET /gone HTTP/1.1\r\nHost: localhost:{port}\r\nConnection: close\r\n\r\n");
    stream.write_all(line.as_bytes()).await.unwrap();
    let mut answer = String::new();
    let reading = stream.read_to_string(&mut answer);
    tokio::time::timeout(Duration::from_secs(5), reading)
        .await
        .unwrap()
        .unwrap();
    assert!(answer.starts_with("HTTP/1.1 404 Not Found\r\n"), "{answer}");
    assert!(
        answer.contains("No page of this notebook has that address."),
        "{answer}"
    );
    serving.abort();
}
