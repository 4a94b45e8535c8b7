//! `fairtank open`

use anyhow::Context;
use std::io::Write;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use store::Notebook;
use tokio::net::TcpListener;

/// The usual port.
pub(crate) const PORT: u16 = 7440;

/// Serve the pages of a notebook on this computer only.
///
/// An empty or missing folder becomes a new notebook.
#[derive(clap::Args)]
#[command(after_help = "Example: fairtank open my-notebook")]
pub(crate) struct Args {
    /// The notebook's folder.
    #[arg(default_value = "fairtank-notebook")]
    folder: PathBuf,
    /// The port to serve on; 0 takes any free one.
    #[arg(long, default_value_t = PORT)]
    port: u16,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    serve(&args.folder, args.port)
}

/// Serves the notebook until it is told to stop.
pub(crate) fn serve(folder: &Path, port: u16) -> anyhow::Result<()> {
    let notebook = if folder.join(store::DATABASE).exists() {
        Notebook::open(folder)?
    } else {
        Notebook::create(folder)?
    };
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()?;
    runtime.block_on(async {
        let listener = listen(port).await?;
        let port = listener.local_addr()?.port();
        println!("Fairtank is at http://127.0.0.1:{port}/");
        std::io::stdout().flush()?;
        web::serve(listener, web::app(notebook, port)?).await?;
        Ok(())
    })
}

async fn listen(port: u16) -> anyhow::Result<TcpListener> {
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    TcpListener::bind(address).await.with_context(|| {
        format!(
            "port {port} is taken; try another, for example --port {}",
            port.wrapping_add(1)
        )
    })
}
