//! No request leaves the machine.

use tonefast_end_to_end::{App, Error};

#[tokio::test]
async fn the_page_may_not_fetch_from_elsewhere() -> Result<(), Error> {
    let app = App::open(&[]).await?;
    // The address is on this machine, so that a missing network can't be what refuses it, and somebody listens there,
    // so that silence can't be either. Only the page's content security policy is left.
    let listener = std::net::TcpListener::bind("127.0.0.1:0")?;
    listener.set_nonblocking(true)?;
    let address = format!("http://{}/", listener.local_addr()?);
    let script = "
        const [address, done] = arguments;
        let refused = null;
        addEventListener('securitypolicyviolation', (event) => { refused = event.effectiveDirective; });
        fetch(address, { mode: 'no-cors' }).then(() => 'fetched', () => 'failed')
            .then((outcome) => setTimeout(() => done([outcome, refused]), 100));";
    let answer = app.ask(script, vec![address.into()]).await?;
    assert_eq!(answer, serde_json::json!(["failed", "connect-src"]));
    let caller = listener.accept();
    assert!(caller.is_err(), "the page reached out, from {caller:?}");
    app.close().await
}
