//! An invitation that lets nobody in any more says what to do next.

use crate::house::{House, words};

#[test]
fn a_spent_link_asks_for_a_new_code_and_says_where_to_get_it() {
    let house = House::new();
    let invitation = house.served.invite().unwrap();
    house.stranger().paired_by(&invitation.key, "Ada");
    let path = format!("/pair?key={}", invitation.key);
    let refused = house.stranger().fill(&path, &[("whose", "Ben")]);
    assert_eq!(refused.status, 422);
    let told = words(&refused.body);
    for next in [
        "get a new one and type it here",
        "under Book, Devices",
        "start draff serve again",
    ] {
        assert!(told.contains(next), "{next}: {told}");
    }
    // The field for it is there, empty, and the name is kept.
    let empty = "<input type=\"text\" id=\"f-key\" name=\"key\" autocomplete=\"off\" aria-describedby=\"e-key\" value=\"\">";
    assert!(refused.body.contains(empty), "{}", refused.body);
    assert!(refused.body.contains("value=\"Ben\""), "{}", refused.body);
    // Typed at the same address it lets in.
    let another = house.served.invite().unwrap();
    let paired = house
        .stranger()
        .post(&path, &[("key", another.code.as_str()), ("whose", "Ben")]);
    assert_eq!(paired.status, 303, "{}", words(&paired.body));
}
