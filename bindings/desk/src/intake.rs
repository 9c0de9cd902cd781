//! From a request to its answer: the head says who comes, and only then is a body read.

use std::{net::SocketAddr, sync::Arc, time::Duration};

use axum::{extract::Request, response::Response};
use tokio::{
    sync::{OwnedSemaphorePermit, Semaphore},
    time::timeout,
};

use crate::{
    asked::{Asked, announced, throw_away},
    desk::Desk,
    entrance::{self, Entered},
    routes::{Access, Route},
    trouble::Trouble,
};

/// How long a request may take to come. Common practice, no source: a minute for what is small, five
/// for what is large, over a slow link.
const SMALL: Duration = Duration::from_mins(1);
const LARGE: Duration = Duration::from_mins(5);
/// What is larger than this has the longer time, and needs a place among the large ones.
const SMALL_BYTES: usize = 1 << 20;
/// Most requests that are worked on at once.
const AT_ONCE: usize = 16;
/// Most large bodies that are in memory at once, of people who are known and, apart from these, of
/// devices: whose message it is stands inside its body. Common practice, no source.
const LARGE_AT_ONCE: usize = 4;

/// How much room there is.
#[derive(Debug)]
pub(crate) struct Room {
    work: Arc<Semaphore>,
    of_people: Arc<Semaphore>,
    of_devices: Arc<Semaphore>,
}

impl Room {
    /// All of it.
    pub(crate) fn new() -> Self {
        let places = |most| Arc::new(Semaphore::new(most));
        Self {
            work: places(AT_ONCE),
            of_people: places(LARGE_AT_ONCE),
            of_devices: places(LARGE_AT_ONCE),
        }
    }

    /// A place for a large body, held for as long as it is in memory; none: it is small.
    async fn for_body(
        &self,
        route: &Route,
        length: Option<usize>,
    ) -> Result<Option<OwnedSemaphorePermit>, Trouble> {
        let small = |length| length <= SMALL_BYTES;
        if small(route.most) || length.is_some_and(small) {
            return Ok(None);
        }
        let places = match route.access() {
            Access::Device => &self.of_devices,
            Access::Anyone | Access::Dispatcher | Access::Link => &self.of_people,
        };
        let place = Arc::clone(places).acquire_owned().await;
        place.map(Some).map_err(|error| Trouble::bug(&error))
    }
}

/// A request that was read whole.
type Read = (Asked, Entered, Option<OwnedSemaphorePermit>);

/// Asks who comes, reads what comes, then does the work where waiting for the disk holds nobody up.
pub(crate) async fn answer(
    desk: Arc<Desk>,
    room: Arc<Room>,
    route: &'static Route,
    address: SocketAddr,
    request: Request,
) -> Response {
    let (mut parts, body) = request.into_parts();
    let head = Asked::of_head(address, &mut parts).await;
    let from = address.ip().to_string();
    let entered =
        work(&desk, &room, route, move |desk| entrance::admit(desk, route, &from, head)).await;
    let request = Request::from_parts(parts, body);
    let read = match entered.unwrap_or_else(Err) {
        Ok((asked, entered)) => {
            let time = if route.most > SMALL_BYTES { LARGE } else { SMALL };
            let read = timeout(time, read(&room, route, asked, entered, request)).await;
            read.unwrap_or(Err(Trouble::TooSlow))
        }
        Err(trouble) => {
            // Whether the rest comes in time changes nothing.
            drop(timeout(SMALL, throw_away(request)).await);
            Err(trouble)
        }
    };
    let answered = work(&desk, &room, route, move |desk| {
        let (read, place) = match read {
            Ok((asked, entered, place)) => (Ok((asked, entered)), place),
            Err(trouble) => (Err(trouble), None),
        };
        let answer = entrance::answer(desk, route, read);
        drop(place);
        answer
    });
    answered.await.unwrap_or_else(|trouble| {
        entrance::error_page(&desk, trouble.status(), trouble.sentence(&desk.words))
    })
}

async fn read(
    room: &Room,
    route: &Route,
    mut asked: Asked,
    entered: Entered,
    request: Request,
) -> Result<Read, Trouble> {
    let length = announced(&request, route.most)?;
    let place = room.for_body(route, length).await?;
    asked.read_body(request, route.most).await?;
    Ok((asked, entered, place))
}

async fn work<T: Send + 'static>(
    desk: &Arc<Desk>,
    room: &Room,
    route: &'static Route,
    does: impl FnOnce(&Desk) -> T + Send + 'static,
) -> Result<T, Trouble> {
    let place = Arc::clone(&room.work).acquire_owned().await;
    let desk = Arc::clone(desk);
    let done = tokio::task::spawn_blocking(move || {
        let done = does(&desk);
        drop(place);
        done
    });
    done.await.map_err(|error| {
        tracing::error!(%error, path = route.path, "a request was not answered");
        Trouble::bug(&error)
    })
}
