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
    let answer = app.ask(script, vec![address.clone().into()]).await?;
    assert_eq!(answer, serde_json::json!(["failed", "connect-src"]));
    // It can't be left for elsewhere, by itself or by the web view's own menu and keys.
    let leave = "
        const [address, done] = arguments;
        window.stays = 'here';
        const elsewhere = window.open(address);
        location.href = address;
        const shut = (event) => !document.body.dispatchEvent(event);
        const ways = [
            new MouseEvent('contextmenu', { bubbles: true, cancelable: true }),
            new KeyboardEvent('keydown', { key: 'F5', bubbles: true, cancelable: true }),
            new KeyboardEvent('keydown', { key: 'r', ctrlKey: true, bubbles: true, cancelable: true }),
            new KeyboardEvent('keydown', { key: 'ArrowLeft', altKey: true, bubbles: true, cancelable: true }),
        ];
        setTimeout(() => done([window.stays, location.protocol, elsewhere === null, ways.map(shut)]), 1000);";
    let answer = app.ask(leave, vec![address.into()]).await?;
    assert_eq!(answer, serde_json::json!(["here", "tauri:", true, [true, true, true, true]]));
    let caller = listener.accept();
    assert!(caller.is_err(), "the page reached out, from {caller:?}");
    app.close().await
}
