//! Serves every part on one page, to look at: `cargo run -p web --example styleguide -- 8123`.

mod gallery;

use std::error::Error;
use std::net::Ipv4Addr;

use store::Notebook;
use tokio::net::TcpListener;
use web::router::with_pages;
use web::{App, Config, serve};

#[tokio::main]
async fn main() -> Result<(), Box<dyn Error>> {
    let port = std::env::args().nth(1).map_or(Ok(0), |text| text.parse())?;
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await?;
    let port = listener.local_addr()?.port();
    // The parts are shown over an empty notebook that goes away afterwards.
    let folder = tempfile::tempdir()?;
    let app = App::new(Config::new(port), Notebook::create(folder.path())?)?;
    println!("The parts are at http://127.0.0.1:{port}/styleguide");
    serve(listener, with_pages(&app, gallery::routes())).await?;
    Ok(())
}
