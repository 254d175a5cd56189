// Prices a table of jobs from inside Excel, on Windows and on a Mac: the query posts the table as
// CSV to the batch and lays the answer beside it. For a program whose cells can ask an address
// themselves, live.fods and live.xlsx are quicker to read.
//
// How to put it in:
// 1. Give the jobs a heading each of GET /v1/short-form (job, rise_in, length_ft, turn, ...), select
//    them, make them a table and name that table `jobs`. Columns of your own may stand among them.
// 2. Data > Get Data > From Other Sources > Blank Query, then Advanced Editor; paste all of this.
// 3. Write the service's address below, and a key of role `estimate` where the service has keys.
// 4. When asked how to sign in choose Anonymous, for the address alone: only so can a query post.
// 5. Close & Load. Data > Refresh All asks again.
//
// Each number travels with a dot and each date as 2027-04-05, whatever the country of the machine;
// the answer is read the same way. A row with a fault has the status `error`, and `note` says why.
let
    Service = "http://127.0.0.1:8080",
    Key = "",
    Jobs = Excel.CurrentWorkbook(){[Name = "jobs"]}[Content],

    // A cell as text: dots before decimals, days without an hour, nothing for an empty cell.
    Plain = (cell as any) as text =>
        if cell = null then ""
        else if cell is datetime then Date.ToText(DateTime.Date(cell), "yyyy-MM-dd", "en-US")
        else if cell is date then Date.ToText(cell, "yyyy-MM-dd", "en-US")
        else if cell is logical then (if cell then "yes" else "no")
        else Text.From(cell, "en-US"),
    Quoted = (cell as any) as text => """" & Text.Replace(Plain(cell), """", """""") & """",
    Line = (cells as list) as text => Text.Combine(List.Transform(cells, Quoted), ","),
    Lines = List.Transform({Table.ColumnNames(Jobs)} & Table.ToRows(Jobs), Line),
    Body = Text.ToBinary(Text.Combine(Lines, "#(cr)#(lf)"), TextEncoding.Utf8),

    Headers = [#"Content-Type" = "text/csv", Accept = "text/csv"]
        & (if Key = "" then [] else [#"X-API-Key" = Key]),
    Answer = Web.Contents(Service, [
        RelativePath = "v1/estimates/batch",
        Headers = Headers,
        Content = Body,
        Timeout = #duration(0, 0, 10, 0),
        // Refusals are read here, so that their reason is shown and not only their number.
        ManualStatusHandling = {400, 401, 403, 406, 413, 415, 422, 429, 503}
    ]),
    // Held whole, so that what is judged is what is read.
    Held = Binary.Buffer(Answer),
    Status = Value.Metadata(Answer)[Response.Status],

    Rows = Table.PromoteHeaders(
        Csv.Document(Held, [Delimiter = ",", Encoding = TextEncoding.Utf8, QuoteStyle = QuoteStyle.Csv]),
        [PromoteAllScalars = true]
    ),
    Numbers = {
        "worst_margin", "slope", "surface_area", "concrete_net", "concrete_order", "stone_order",
        "insulation_boards", "bars", "form_length", "saw_length", "paid_hours", "standby_hours", "visits",
        "crew_days", "price_per_area", "unpriced", "oldest_price", "revision"
    },
    Money = {
        "material", "labour", "equipment", "fees", "subs", "direct", "tax_paid", "contingency", "overhead",
        "profit", "tax_charged", "total", "per_crew_day"
    },
    Types = List.Transform(Numbers, each {_, type number}) & List.Transform(Money, each {_, Currency.Type}),
    Typed = Table.TransformColumnTypes(
        // What could not be known is empty, never 0.
        Table.ReplaceValue(Rows, "", null, Replacer.ReplaceValue, Numbers & Money),
        Types,
        "en-US"
    ),
    // A connection that broke says so in its last row.
    Whole = if List.Contains(Rows[status], "aborted") then error "The answer breaks off: refresh." else Typed,
    Result = if Status = 200 then Whole else error Error.Record(
        "The service refused with " & Text.From(Status), Text.FromBinary(Held, TextEncoding.Utf8))
in
    Result
