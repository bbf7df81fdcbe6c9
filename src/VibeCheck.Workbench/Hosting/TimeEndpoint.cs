using System.Text.Json;
using VibeCheck.Workbench.Jobs;
using VibeCheck.Workbench.Time;

namespace VibeCheck.Workbench.Hosting;

/// <summary>Sends a flight of the answer over time to the script of the time view, as JSON.</summary>
internal static class TimeEndpoint
{
    internal static void Map(WebApplication app) => app.MapGet("/answer/time", Send);

    private static IResult Send(HttpContext context, Desk desk, int flight)
    {
        if (desk.View.Answer.Result is not Answer answer || flight < 0 || flight >= FlightOverTime.Flights(answer.Whole).Count)
        {
            return Results.Text("There is no such flight in the answer.", statusCode: StatusCodes.Status404NotFound);
        }

        using var memory = new MemoryStream();
        using (var json = new Utf8JsonWriter(memory))
        {
            FlightOverTime.Write(answer.Whole, flight, json);
        }

        context.Response.Headers.CacheControl = "no-store";
        return Results.Bytes(memory.ToArray(), "application/json");
    }
}
