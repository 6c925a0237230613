//! The number of a log, and what is told to be kept elsewhere. All else of the record is tested beside.

use file_record::FileRecord;
use shared_model::{Event, PieceId, What};
use station::record::{Record, RecordError};

#[test]
fn a_log_keeps_its_epoch_and_one_that_begins_anew_has_another() {
    let folder = std::env::temp_dir().join(format!("epoch-{}", std::process::id()));
    let open = || FileRecord::open(&folder).expect("a record");
    let mut record = open();
    let epoch = record.epoch();
    for sequence in 1..=3 {
        let piece = PieceId(sequence);
        let event = Event {
            sequence,
            boot: record.boot(),
            milliseconds: 0,
            what: What::SetAside { piece },
        };
        record.append(&event).expect("room");
    }
    // files drop nothing, and take no word about what they do not hold
    assert_eq!(record.confirm(2), Ok(()));
    assert_eq!(record.confirm(4), Err(RecordError::OutOfOrder));
    assert_eq!(record.events().count(), 3);
    drop(record);
    let record = open();
    assert_eq!((record.epoch(), record.events().count()), (epoch, 3));
    drop(record);
    std::fs::remove_file(folder.join("events")).expect("it is there");
    let record = open();
    assert_ne!(record.epoch(), epoch);
    assert_eq!(record.last_sequence(), 0);
    drop(record);
    std::fs::remove_dir_all(&folder).expect("it can be removed");
}
