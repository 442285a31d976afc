//! Another program changes a file while the studio is open.

use workbench::clock::Clock as _;

use super::*;

fn close() -> CustodyFact {
    CustodyFact::Closed { thing: Thing::wrapping(1), seal: None }
}

#[test]
fn a_file_that_another_program_changed_is_kept_and_ours_lies_beside_it() {
    let two = Two::new();
    let mut session = two.session();
    let theirs = format!("{}// looked at in an editor\n", two.text());
    std::fs::write(two.file(), &theirs).unwrap();
    let beside = file_of(two.one).replace("orders/", "").replace(".ron", ".conflict-1.ron");
    let sentence = format!(
        "another program changed this file; it is untouched, and yours lies beside it as {beside}: compare the two and \
         keep one"
    );
    for (said, entries) in [
        (session.act_and_settle(fact(two.one, ClientFact::KitPosted)), 5),
        (session.act_and_settle(fact(two.one, close())), 6),
    ] {
        assert_eq!(said.unwrap_err().to_string(), sentence);
        let now = two.bench.clock.now();
        assert!(session.bench.view(now).studio.order(two.one).unwrap().order.log.len() >= entries);
    }
    let ours = std::fs::read_to_string(two.bench.root().join("orders").join(&beside)).unwrap();
    assert_eq!(two.text(), theirs, "theirs is untouched");
    assert!(ours.contains("KitPosted"));
    assert!(matches!(standing(&two, &session, two.one), Standing::Conflict(name) if name == beside));
    session.act_and_settle(fact(two.other, ClientFact::Answered)).unwrap_err();
    assert!(
        matches!(standing(&two, &session, two.other), Standing::Saved),
        "the other order is saved all the same"
    );
    drop(session);
    let what = format!(
        "a second copy of order {} goes on where the record here ends: 4 entries here, 6 in the copy; both versions are \
         kept as they are, and nothing is merged; take the longer one for order {}",
        two.one, two.one
    );
    let session = two.session();
    assert_eq!(session.troubles(), [trouble(format!("orders/{beside}"), &what)]);
    drop(session);
    // Keeping ours is one move of a file, and nothing of it is missing.
    std::fs::rename(two.bench.root().join("orders").join(&beside), two.file()).unwrap();
    assert_eq!(two.bench.order(two.one).log.len(), 6);
}
