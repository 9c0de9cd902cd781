//! The service: from the table of routes to answers over HTTP, begin and end.

use std::{net::SocketAddr, sync::Arc, time::Duration};

use axum::{
    Router,
    extract::{ConnectInfo, DefaultBodyLimit, Request},
    http::{HeaderName, HeaderValue, header},
    response::Response,
    routing::{MethodFilter, on},
};
use tokio::{net::TcpListener, runtime::Runtime, sync::watch, task::JoinHandle};
use tower_http::{catch_panic::CatchPanicLayer, set_header::SetResponseHeaderLayer};

use crate::{
    desk::Desk,
    entrance,
    intake::{self, Room},
    pages::POLICY,
    routes::ROUTES,
    settings::Settings,
    trouble::{StartError, Trouble},
};

/// How long requests that are being worked on are waited for at the end.
const LAST: Duration = Duration::from_secs(10);

/// A desk that runs until it is stopped.
#[derive(Debug)]
pub struct Running {
    address: SocketAddr,
    public_url: String,
    first_code: Option<String>,
    stop: watch::Sender<bool>,
    served: Option<JoinHandle<std::io::Result<()>>>,
    runtime: Option<Runtime>,
}

impl Desk {
    /// Starts a desk.
    pub fn start(settings: Settings) -> Result<Running, StartError> {
        let system = |error: std::io::Error| StartError::System(error.to_string());
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .enable_all()
            .build()
            .map_err(system)?;
        let bind = settings.bind;
        let listener = runtime.block_on(TcpListener::bind(bind));
        let listener =
            listener.map_err(|error| StartError::Listen { bind, reason: error.to_string() })?;
        let address = listener.local_addr().map_err(system)?;
        let desk = Self::open(settings, address)?;
        let first_code = desk.first_code()?;
        let public_url = desk.public_url.clone();
        let (stop, mut stopped) = watch::channel(false);
        let service = router(Arc::new(desk)).into_make_service_with_connect_info::<SocketAddr>();
        let served = runtime.spawn(async move {
            let until = async move { drop(stopped.changed().await) };
            axum::serve(listener, service).with_graceful_shutdown(until).await
        });
        let (served, runtime) = (Some(served), Some(runtime));
        Ok(Running { address, public_url, first_code, stop, served, runtime })
    }
}

impl Running {
    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// How it is reached.
    pub fn public_url(&self) -> &str {
        &self.public_url
    }

    /// The one-time code of the first dispatcher; none: there is one already.
    pub fn first_code(&self) -> Option<&str> {
        self.first_code.as_deref()
    }

    /// Waits until the system asks it to end, then ends it in good order.
    pub fn wait(self) {
        if let Some(runtime) = &self.runtime {
            runtime.block_on(asked_to_end());
        }
        self.stop();
    }

    /// Ends it: what is being worked on is finished, nothing new is taken.
    pub fn stop(mut self) {
        self.end();
    }

    fn end(&mut self) {
        // It fails where the service has ended by itself already.
        let _ = self.stop.send(true);
        let Some(runtime) = self.runtime.take() else { return };
        if let Some(served) = self.served.take() {
            let last = runtime.block_on(async { tokio::time::timeout(LAST, served).await });
            tracing::info!(in_time = last.is_ok(), "desk ended");
        }
        runtime.shutdown_timeout(LAST);
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        self.end();
    }
}

async fn asked_to_end() {
    let by_key = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut terminate) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = by_key => {}
                _ = terminate.recv() => {}
            }
            return;
        }
    }
    // It fails where the system has no such signal; then nobody asks.
    let _ = by_key.await;
}

fn router(desk: Arc<Desk>) -> Router {
    let room = Arc::new(Room::new());
    let mut router = Router::new();
    for route in ROUTES {
        let filter = if route.method == "POST" { MethodFilter::POST } else { MethodFilter::GET };
        let (desk, room) = (Arc::clone(&desk), Arc::clone(&room));
        let serve = move |ConnectInfo(address): ConnectInfo<SocketAddr>, request: Request| {
            intake::answer(Arc::clone(&desk), Arc::clone(&room), route, address, request)
        };
        router = router.route(route.path, on(filter, serve));
    }
    let set = |name: HeaderName, value: &'static str| {
        SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value))
    };
    router
        .fallback(move || {
            let desk = Arc::clone(&desk);
            async move { nothing(&desk) }
        })
        .layer(DefaultBodyLimit::disable())
        .layer(CatchPanicLayer::new())
        .layer(set(header::CONTENT_SECURITY_POLICY, POLICY))
        .layer(set(header::X_CONTENT_TYPE_OPTIONS, "nosniff"))
        .layer(set(header::REFERRER_POLICY, "no-referrer"))
        .layer(set(header::X_FRAME_OPTIONS, "DENY"))
        .layer(set(HeaderName::from_static("cross-origin-opener-policy"), "same-origin"))
        .layer(set(HeaderName::from_static("cross-origin-resource-policy"), "same-origin"))
}

fn nothing(desk: &Desk) -> Response {
    entrance::error_page(desk, 404, Trouble::NotHere.sentence(&desk.words))
}
