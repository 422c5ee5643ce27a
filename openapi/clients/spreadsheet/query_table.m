// For a desktop spreadsheet that reads tables by queries in M: the rooms of the table `Rooms` of the
// workbook, whose columns are those of /v1/rows/template.csv, with their figures.
// Paste it into the advanced editor of a new query and set Service. Such queries send no key with
// what they post: where the operator asks for one, use the script or the macro instead.
let
    Service = "http://127.0.0.1:8080",
    Rooms = Excel.CurrentWorkbook(){[Name = "Rooms"]}[Content],
    Asked = Json.FromValue([rows = Table.ToRecords(Rooms)]),
    Answer = Web.Contents(
        Service,
        [
            RelativePath = "v1/rows",
            Headers = [#"Content-Type" = "application/json", Accept = "application/json"],
            Content = Asked,
            Timeout = #duration(0, 0, 5, 0)
        ]
    ),
    Told = Json.Document(Answer)[rows],
    Figures = Table.FromRecords(Told)
in
    Figures
