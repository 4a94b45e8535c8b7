//! Serving on a listener until told to stop.

use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;

use crate::router::DevicePages;
use crate::share::Remote;

/// Longest time to send a request's head; the body's time is the guard's.
const HEAD_TIME: Duration = Duration::from_secs(15);
/// Longest wait for answers under way when the program is told to stop.
const FAREWELL: Duration = Duration::from_secs(3);
/// Connections served at once; more wait for their turn.
const CONNECTIONS: usize = 256;

/// Serves `routes` until ctrl-c or a request to terminate, then lets answers under way finish.
///
/// # Errors
/// When the listener is not on the loopback interface, or the stop signals cannot be listened for.
pub async fn serve(listener: TcpListener, routes: Router) -> io::Result<()> {
    let address = listener.local_addr()?;
    if !address.ip().is_loopback() {
        return Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            not_loopback(address),
        ));
    }
    accept(listener, |_| routes.clone()).await
}

/// Serves what paired devices may use, on any interface, in the same way.
///
/// # Errors
/// When the stop signals cannot be listened for.
pub async fn serve_devices(listener: TcpListener, pages: DevicePages) -> io::Result<()> {
    accept(listener, |from| pages.asked_by(Remote(from.ip()))).await
}

async fn accept(listener: TcpListener, routes: impl Fn(SocketAddr) -> Router) -> io::Result<()> {
    let stop = stop_signal()?;
    tokio::pin!(stop);
    let graceful = GracefulShutdown::new();
    let places = Arc::new(Semaphore::new(CONNECTIONS));
    loop {
        let place = tokio::select! {
            place = Arc::clone(&places).acquire_owned() => place.map_err(io::Error::other)?,
            () = &mut stop => break,
        };
        let (stream, from) = tokio::select! {
            accepted = listener.accept() => match accepted {
                Ok(accepted) => accepted,
                // One failed hand-over (or no free file handle) must not end the run.
                Err(_) => {
                    tokio::time::sleep(Duration::from_millis(50)).await;
                    continue;
                }
            },
            () = &mut stop => break,
        };
        let connection = http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(HEAD_TIME)
            .serve_connection(TokioIo::new(stream), TowerToHyperService::new(routes(from)));
        let watched = graceful.watch(connection);
        tokio::spawn(async move {
            // A browser that hangs up is no event worth telling.
            let _ = watched.await;
            drop(place);
        });
    }
    drop(listener);
    // Whoever has not finished by then is cut off.
    let _ = tokio::time::timeout(FAREWELL, graceful.shutdown()).await;
    Ok(())
}

fn not_loopback(address: SocketAddr) -> String {
    format!(
        "listener at {address}: pages are served on the loopback interface only (127.0.0.1 or ::1)"
    )
}

#[cfg(unix)]
fn stop_signal() -> io::Result<impl Future<Output = ()>> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut interrupt = signal(SignalKind::interrupt())?;
    let mut terminate = signal(SignalKind::terminate())?;
    Ok(async move {
        tokio::select! {
            _ = interrupt.recv() => {}
            _ = terminate.recv() => {}
        }
    })
}

#[cfg(not(unix))]
fn stop_signal() -> io::Result<impl Future<Output = ()>> {
    Ok(async {
        // Without a signal handler the run ends with the window it was started from.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    })
}
