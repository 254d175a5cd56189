-- The database itself refuses to change or remove what was written; a book's newest revision may
-- only go up by one.
CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'history is append-only' USING ERRCODE = 'restrict_violation';
END
$$;

CREATE FUNCTION count_up_by_one() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.code <> OLD.code OR NEW.latest <> OLD.latest + 1 THEN
        RAISE EXCEPTION 'a book counts its revisions one by one' USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN NEW;
END
$$;

CREATE TRIGGER book_counts_up BEFORE UPDATE ON book
FOR EACH ROW EXECUTE FUNCTION count_up_by_one();

CREATE TRIGGER book_stays BEFORE DELETE ON book
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER revision_is_never_changed BEFORE UPDATE OR DELETE ON revision
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER setting_is_never_changed BEFORE UPDATE OR DELETE ON setting
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER supplier_is_never_changed BEFORE UPDATE OR DELETE ON supplier
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER supplier_version_is_never_changed BEFORE UPDATE OR DELETE ON supplier_version
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER item_is_never_changed BEFORE UPDATE OR DELETE ON item
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER item_version_is_never_changed BEFORE UPDATE OR DELETE ON item_version
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER price_is_never_changed BEFORE UPDATE OR DELETE ON price
FOR EACH ROW EXECUTE FUNCTION refuse_change();
