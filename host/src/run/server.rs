//! The page's server: the page itself, the picture, the stream of what happens, and the presses. Who may ask is judged by
//! `guard`; the station is spoken to only by messages.

use std::convert::Infallible;
use std::future::Future;
use std::io;
use std::net::TcpListener;
use std::pin::pin;
use std::time::Duration;

use axum::Router;
use axum::extract::rejection::JsonRejection;
use axum::extract::{DefaultBodyLimit, Json, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::middleware;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use futures_util::future;
use futures_util::stream::{self, Stream};
use tokio::sync::broadcast::Receiver;
use tokio::sync::broadcast::error::RecvError;

use super::guard::{Names, guard};
use super::owner::Handle;
use super::press::{Answer, Press};
use super::shown::Told;

const PAGE: &str = include_str!("page/index.html");
const SCRIPT: &str = include_str!("page/page.js");
const STYLE: &str = include_str!("page/page.css");

/// A press is a few words long.
const MOST_BYTES: usize = 1024;
/// A page that hears nothing for a few of these knows that the station is gone.
const ALIVE: Duration = Duration::from_secs(2);

/// Serves the page until the program is told to stop; `ready` is called once it can be asked.
///
/// # Errors
/// Those of the system.
pub fn serve(listener: TcpListener, station: Handle, ready: impl FnOnce()) -> io::Result<()> {
    listener.set_nonblocking(true)?;
    let names = Names::of(listener.local_addr()?.port());
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()?;
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::from_std(listener)?;
        let stopped = pin!(stopped()?);
        ready();
        let serving = pin!(axum::serve(listener, router(station, names)).into_future());
        match future::select(serving, stopped).await {
            future::Either::Left((served, _)) => served,
            future::Either::Right(_) => Ok(()),
        }
    })
}

fn router(station: Handle, names: Names) -> Router {
    Router::new()
        .route("/", get(|| asset("text/html; charset=utf-8", PAGE)))
        .route(
            "/page.js",
            get(|| asset("text/javascript; charset=utf-8", SCRIPT)),
        )
        .route("/page.css", get(|| asset("text/css; charset=utf-8", STYLE)))
        .route("/picture.png", get(picture))
        .route("/state.json", get(state))
        .route("/events", get(events))
        .route("/press", post(press))
        .layer(DefaultBodyLimit::max(MOST_BYTES))
        .layer(middleware::from_fn_with_state(names, guard))
        .with_state(station)
}

async fn asset(kind: &'static str, text: &'static str) -> impl IntoResponse {
    ([(CONTENT_TYPE, kind)], text)
}

async fn picture(State(station): State<Handle>) -> impl IntoResponse {
    let png = station.shown().png.clone();
    ([(CONTENT_TYPE, "image/png")], png)
}

async fn state(State(station): State<Handle>) -> impl IntoResponse {
    Json(station.shown().state.clone())
}

async fn press(
    State(station): State<Handle>,
    press: Result<Json<Press>, JsonRejection>,
) -> Response {
    let press = match press {
        Ok(Json(press)) => press,
        Err(refused) => return (refused.status(), refused.body_text()).into_response(),
    };
    match station.press(press).await {
        Some(answer @ Answer::Taken { .. }) => Json(answer).into_response(),
        Some(answer) => (StatusCode::CONFLICT, Json(answer)).into_response(),
        None => StatusCode::SERVICE_UNAVAILABLE.into_response(),
    }
}

async fn events(
    State(station): State<Handle>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    // listening begins before the first state is taken, so that nothing falls between
    let heard = station.listen();
    let first = Told::State(Box::new(station.shown().state.clone()));
    let first = stream::once(future::ready(Ok(event(&first))));
    let rest = stream::unfold((station, heard), |(station, mut heard)| async move {
        let told = next(&station, &mut heard).await?;
        Some((Ok(event(&told)), (station, heard)))
    });
    let alive = KeepAlive::new()
        .interval(ALIVE)
        .event(Event::default().event("alive").data(""));
    Sse::new(stream::StreamExt::chain(first, rest)).keep_alive(alive)
}

async fn next(station: &Handle, heard: &mut Receiver<Told>) -> Option<Told> {
    match heard.recv().await {
        Ok(told) => Some(told),
        // a slow window is told how things stand now and nothing of what it missed
        Err(RecvError::Lagged(_)) => Some(Told::State(Box::new(station.shown().state.clone()))),
        Err(RecvError::Closed) => None,
    }
}

fn event(told: &Told) -> Event {
    match told {
        Told::State(state) => {
            // a state is plain text and numbers, which JSON always holds
            let text = serde_json::to_string(state).unwrap_or_default();
            Event::default().event("state").data(text)
        }
        Told::Sound(sound) => Event::default().event("sound").data(sound),
    }
}

/// Ends when the person or the system asks the program to stop.
fn stopped() -> io::Result<impl Future<Output = ()>> {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        let kinds = [
            SignalKind::interrupt(),
            SignalKind::terminate(),
            SignalKind::hangup(),
        ];
        let mut signals = Vec::new();
        for kind in kinds {
            signals.push(signal(kind)?);
        }
        Ok(async move {
            let each = signals.iter_mut().map(|signal| Box::pin(signal.recv()));
            future::select_all(each).await;
        })
    }
    #[cfg(not(unix))]
    {
        Ok(async {
            // without the signal the program runs until it is ended from outside
            if tokio::signal::ctrl_c().await.is_err() {
                future::pending::<()>().await;
            }
        })
    }
}
