using System.Globalization;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Http.Features;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Hosting;

/// <summary>Takes a log from the page and writes it to the disk while it arrives.</summary>
internal static class UploadEndpoint
{
    /// <summary>Header of the antiforgery token, which only the workbench's own pages know.</summary>
    internal const string TokenHeader = "X-VibeCheck-Token";

    /// <summary>Largest log that is accepted, bytes.</summary>
    internal const long LargestBytes = 4L << 30;

    internal static void Map(WebApplication app) => app.MapPut("/logs", Take).DisableAntiforgery();

    private static async Task<IResult> Take(HttpContext context, IAntiforgery antiforgery, Desk desk, string name, long? modified)
    {
        if (!await antiforgery.IsRequestValidAsync(context).ConfigureAwait(false))
        {
            return Problem(StatusCodes.Status400BadRequest, "The page is from an earlier start of the workbench. Load it again.");
        }

        if (context.Request.ContentLength is > LargestBytes)
        {
            return Problem(
                StatusCodes.Status413PayloadTooLarge,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"The log is over {LargestBytes >> 30} GB. Pack it as .csv.gz, or put it into the folder by hand."
                )
            );
        }

        if (desk.Folder.WhyNotTaken(name) is string why)
        {
            return Problem(StatusCodes.Status400BadRequest, why);
        }

        context.Features.Get<IHttpMaxRequestBodySizeFeature>()!.MaxRequestBodySize = LargestBytes;
        context.Features.Get<IHttpBodyControlFeature>()!.AllowSynchronousIO = true;
        try
        {
            string path = await Task.Run(() => desk.Folder.Take(name, context.Request.Body, Date(modified)), context.RequestAborted)
                .ConfigureAwait(false);
            desk.Look();
            return Results.Json(new { name = desk.Folder.NameOf(path) });
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Problem(
                StatusCodes.Status507InsufficientStorage,
                $"It could not be written: {JobFolder.Cause(e)}. Nothing of it is left; {JobFolder.Remedy(e)}, and drop it again."
            );
        }
    }

    private static DateTime? Date(long? modifiedMs) =>
        modifiedMs is > 0 and < 4102444800000 ? DateTime.UnixEpoch.AddMilliseconds(modifiedMs.Value) : null;

    private static IResult Problem(int status, string text) => Results.Text(text, "text/plain; charset=utf-8", statusCode: status);
}
