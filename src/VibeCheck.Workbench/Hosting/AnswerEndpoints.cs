using System.Text;
using VibeCheck.Core.Comparisons;
using VibeCheck.Reports.Pages;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Hosting;

/// <summary>Serves the answer as files: the page of the report, its JSON, its table of the motors, its figures; and the bench
/// card.</summary>
internal static class AnswerEndpoints
{
    // The same policy as in the page of the report itself, which contains its style and font.
    private const string ReportPolicy = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; frame-ancestors 'none'";

    internal static void Map(WebApplication app)
    {
        app.MapGet(
            "/export/report.html",
            (HttpContext context, Desk desk, bool? show) =>
                Send(context, desk, "text/html", show == true ? null : "report.html", (answer, stream) => answer.WriteReport(stream))
        );
        app.MapGet(
            "/export/compare.json",
            (HttpContext context, Desk desk) =>
                Send(context, desk, "application/json", "compare.json", (answer, stream) => answer.WriteJson(stream))
        );
        app.MapGet(
            "/export/motors.csv",
            (HttpContext context, Desk desk) =>
                Send(
                    context,
                    desk,
                    "text/csv",
                    "motors.csv",
                    (answer, stream) => stream.Write(Encoding.UTF8.GetBytes(MotorTable.ToCsv(answer.Whole)))
                )
        );
        app.MapGet(
            "/export/figures.zip",
            (HttpContext context, Desk desk) =>
                Send(
                    context,
                    desk,
                    "application/zip",
                    "figures.zip",
                    (answer, stream) => FigureFiles.Write(answer.ContentAsync().GetAwaiter().GetResult(), stream)
                )
        );
        app.MapGet(
            "/export/bench-card.html",
            (HttpContext context, Desk desk) =>
                desk.View.Plan is { } plan
                    ? Written(context, "text/html", null, stream => BenchCard.Write(plan, stream, letter: false, inch: desk.Inch))
                    : Results.Text("There are no readings yet, so there is no card.", statusCode: StatusCodes.Status404NotFound)
        );
    }

    private static IResult Send(HttpContext context, Desk desk, string type, string? name, Action<Answer, Stream> write) =>
        desk.View.Answer.Result is Answer answer
            ? Written(context, type, name, stream => write(answer, stream))
            : Results.Text("There is no answer yet. The answer's page says what is missing.", statusCode: StatusCodes.Status404NotFound);

    private static IResult Written(HttpContext context, string type, string? name, Action<Stream> write)
    {
        using var memory = new MemoryStream();
        write(memory);
        context.Response.Headers.CacheControl = "no-store";
        if (type == "text/html")
        {
            context.Response.Headers.ContentSecurityPolicy = ReportPolicy;
        }

        return Results.Bytes(memory.ToArray(), type == "application/zip" ? type : type + "; charset=utf-8", name);
    }
}
