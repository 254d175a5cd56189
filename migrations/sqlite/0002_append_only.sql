-- The database itself refuses to change or remove what was written; a book's newest revision may
-- only go up by one.
CREATE TRIGGER book_counts_up BEFORE UPDATE ON book
WHEN NEW.code <> OLD.code OR NEW.latest <> OLD.latest + 1
BEGIN SELECT RAISE(ABORT, 'a book counts its revisions one by one'); END;

CREATE TRIGGER book_stays BEFORE DELETE ON book
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER revision_is_never_changed BEFORE UPDATE ON revision
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER revision_stays BEFORE DELETE ON revision
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER setting_is_never_changed BEFORE UPDATE ON setting
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER setting_stays BEFORE DELETE ON setting
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER supplier_is_never_changed BEFORE UPDATE ON supplier
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER supplier_stays BEFORE DELETE ON supplier
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER supplier_version_is_never_changed BEFORE UPDATE ON supplier_version
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER supplier_version_stays BEFORE DELETE ON supplier_version
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER item_is_never_changed BEFORE UPDATE ON item
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER item_stays BEFORE DELETE ON item
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER item_version_is_never_changed BEFORE UPDATE ON item_version
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER item_version_stays BEFORE DELETE ON item_version
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER price_is_never_changed BEFORE UPDATE ON price
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER price_stays BEFORE DELETE ON price
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;
