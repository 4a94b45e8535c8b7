//! `fairtank open`

use crate::exit::Unusable;
use crate::served;
use anyhow::Context;
use std::io::Write;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use store::Notebook;
use tokio::net::TcpListener;

/// The usual port.
pub(crate) const PORT: u16 = 7440;
/// The usual port for phones.
const SHARE_PORT: u16 = 7441;

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
    /// Also let paired phones on the home network log, at this computer's address there or at the
    /// one given. Plain HTTP: only on a network whose users you trust.
    #[arg(long, value_name = "ADDRESS", num_args = 0..=1, require_equals = true)]
    share: Option<Option<IpAddr>>,
    /// The port that phones use; 0 takes any free one.
    #[arg(long, default_value_t = SHARE_PORT, requires = "share")]
    share_port: u16,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    let share = args.share.map(|asked| shared_at(asked, args.share_port));
    serve(&args.folder, args.port, share.transpose()?)
}

/// Serves the notebook until it is told to stop.
pub(crate) fn serve(folder: &Path, port: u16, share: Option<SocketAddr>) -> anyhow::Result<()> {
    let notebook = if folder.join(store::DATABASE).exists() {
        Notebook::open(folder)?
    } else {
        Notebook::create(folder)?
    };
    let served = served::take(folder)?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()?;
    runtime.block_on(async {
        let listener = listen(SocketAddr::from((Ipv4Addr::LOCALHOST, port)), "--port").await?;
        let port = listener.local_addr()?.port();
        let phones = match share {
            Some(address) => Some(listen(address, "--share-port").await?),
            None => None,
        };
        served.at(&format!("http://127.0.0.1:{port}/"))?;
        println!("Fairtank is at http://127.0.0.1:{port}/");
        let Some(phones) = phones else {
            std::io::stdout().flush()?;
            return Ok(web::serve(listener, web::app(notebook, port)?).await?);
        };
        let address = phones.local_addr()?;
        println!("Paired phones log at http://{address}/");
        println!("{SHARE_WARNING}");
        std::io::stdout().flush()?;
        let (own, devices) = web::shared_app(notebook, port, address)?;
        tokio::try_join!(
            web::serve(listener, own),
            web::serve_devices(phones, devices)
        )?;
        Ok(())
    })
}

const SHARE_WARNING: &str = "Anyone on that network can read along (plain HTTP): share only on a network whose users you trust. \
     Let a phone in under \"Log from a phone\" on the pages.";

/// Where phones shall find the log: the address asked for, or this computer's on the home network.
fn shared_at(asked: Option<IpAddr>, port: u16) -> anyhow::Result<SocketAddr> {
    let address = asked.or_else(web::share::home_address).ok_or_else(|| {
        Unusable(
            "--share: this computer's address on the home network cannot be found; give it, for \
             example --share=192.168.1.20"
                .to_string(),
        )
    })?;
    if at_home(address) {
        return Ok(SocketAddr::new(address, port));
    }
    let text = format!(
        "--share: {address} is not an address of a home network; accepted are private addresses \
         such as 192.168.1.20 or 10.0.0.5, since nothing protects what is sent (plain HTTP)"
    );
    Err(Unusable(text).into())
}

/// Addresses that routers do not carry beyond a home: RFC 1918, RFC 3927, RFC 4193, RFC 4291.
fn at_home(address: IpAddr) -> bool {
    match address {
        IpAddr::V4(v4) => v4.is_private() || v4.is_link_local() || v4.is_loopback(),
        IpAddr::V6(v6) => v6.is_unique_local() || v6.is_unicast_link_local() || v6.is_loopback(),
    }
}

async fn listen(address: SocketAddr, option: &str) -> anyhow::Result<TcpListener> {
    let port = address.port();
    TcpListener::bind(address).await.with_context(|| {
        format!(
            "{address} cannot be listened at; the port may be taken: try another, for example {option} {}",
            port.wrapping_add(2)
        )
    })
}

#[cfg(test)]
mod tests {
    use super::at_home;

    #[test]
    fn only_addresses_of_a_home() {
        for good in [
            "192.168.1.20",
            "10.0.0.5",
            "172.16.9.9",
            "169.254.3.4",
            "fd00::1",
            "fe80::1",
        ] {
            assert!(at_home(good.parse().unwrap()), "{good}");
        }
        for bad in [
            "0.0.0.0",
            "8.8.8.8",
            "172.32.0.1",
            "192.0.2.1",
            "2001:db8::1",
            "::",
        ] {
            assert!(!at_home(bad.parse().unwrap()), "{bad}");
        }
    }
}
