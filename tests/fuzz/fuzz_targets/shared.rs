//! What holds for whatever is read: it is told or meant, and what is meant reads back the same from every form. The
//! targets only say in which form it is read.

/// Reads a level, and the set-up file that it may name, parted by a form feed.
pub fn read_and_write(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let (text, setup) = text.split_once('\u{c}').unwrap_or((text, ""));
    let files = [("my-saw.txt", setup)];
    match form::read_text("a level", text, &files) {
        Err(refusal) => assert!(!refusal.told("nothing is planned").is_empty()),
        Ok(sheet) => {
            let json = form::to_json(&sheet).expect("JSON is written");
            for written in [form::to_text(&sheet), form::to_csv(&sheet), json] {
                let again = form::read_text("written", &written, &[]);
                let again =
                    again.unwrap_or_else(|refusal| panic!("{}\n{written}", refusal.told("")));
                assert_eq!(again, sheet, "{written}");
            }
        }
    }
}
