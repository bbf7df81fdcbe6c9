using System.Net;
using Microsoft.Extensions.Primitives;
using VibeCheck.Workbench.Jobs;
using VibeCheck.Workbench.Pages;

namespace VibeCheck.Workbench.Hosting;

/// <summary>Accepts a request only when it comes from this machine, under one of its local names, from the
/// workbench's own pages, with the secret.</summary>
/// <remarks>The host name is checked because another site can make its own name resolve to this machine (DNS rebinding); the origin
/// because a browser sends cookies with the requests of other pages too.</remarks>
internal sealed class RequestGuard(RequestDelegate next, DeskKey key)
{
    private const string NoToken =
        "Open the address that the terminal printed, the whole of it, with its token. The token changes with every start, so an address "
        + "from an earlier start, from a bookmark or from the browser's history does not open the workbench. If the terminal is closed, "
        + "start vibecheck workbench again.";

    private static readonly string[] s_names = ["127.0.0.1", "localhost", "[::1]"];

    public Task InvokeAsync(HttpContext context)
    {
        AddHeaders(context.Response.Headers);
        HttpRequest request = context.Request;
        if (context.Connection.RemoteIpAddress is not IPAddress from || !IPAddress.IsLoopback(from) || !IsOwnHost(context))
        {
            return Refuse(
                context,
                StatusCodes.Status421MisdirectedRequest,
                "The workbench answers on this machine only, under the address that the command printed."
            );
        }

        if (!IsOwnOrigin(request))
        {
            return Refuse(
                context,
                StatusCodes.Status403Forbidden,
                "This request came from another page, and only the workbench's own pages may ask."
            );
        }

        if (HttpMethods.IsGet(request.Method) && key.Fits(request.Query[DeskKey.Query]))
        {
            return Enter(context, key, context.RequestServices.GetRequiredService<Desk>());
        }

        return key.Fits(request.Cookies[DeskKey.CookieOf(context)])
            ? next(context)
            : Refuse(context, StatusCodes.Status403Forbidden, NoToken);
    }

    private static bool IsOwnHost(HttpContext context) =>
        s_names.Any(n =>
            string.Equals(context.Request.Host.Value, $"{n}:{context.Connection.LocalPort}", StringComparison.OrdinalIgnoreCase)
        );

    private static bool IsOwnOrigin(HttpRequest request)
    {
        StringValues origin = request.Headers.Origin,
            site = request.Headers["Sec-Fetch-Site"];
        bool sameOrigin =
            StringValues.IsNullOrEmpty(origin)
            || string.Equals(origin, $"{request.Scheme}://{request.Host.Value}", StringComparison.OrdinalIgnoreCase);

        // A link on another site may open the page; other requests from other sites are refused.
        bool opens =
            HttpMethods.IsGet(request.Method)
            && request.Headers["Sec-Fetch-Mode"] == "navigate"
            && request.Headers["Sec-Fetch-Dest"] == "document";
        return sameOrigin && (StringValues.IsNullOrEmpty(site) || site == "same-origin" || site == "none" || opens);
    }

    /// <summary>Moves the secret from the address to a cookie, so that it does not stay in the address bar.</summary>
    private static Task Enter(HttpContext context, DeskKey key, Desk desk)
    {
        context.Response.Cookies.Append(
            DeskKey.CookieOf(context),
            key.Value,
            new CookieOptions
            {
                HttpOnly = true,
                SameSite = SameSiteMode.Strict,
                Path = "/",
                IsEssential = true,
            }
        );
        context.Response.Redirect(context.Request.Path.Value is { Length: > 1 } path ? path : "/" + StartPage.PlaceOf(desk.View));
        return Task.CompletedTask;
    }

    private static void AddHeaders(IHeaderDictionary headers)
    {
        headers.ContentSecurityPolicy =
            "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self'; connect-src 'self'; "
            + "form-action 'self'; base-uri 'self'; frame-ancestors 'none'";
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "no-referrer";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
    }

    private static Task Refuse(HttpContext context, int status, string why)
    {
        context.Response.StatusCode = status;
        bool isPage = context.Request.Headers["Sec-Fetch-Dest"] == "document";
        context.Response.ContentType = isPage ? "text/html; charset=utf-8" : "text/plain; charset=utf-8";
        if (isPage)
        {
            context.Response.Headers.ContentSecurityPolicy = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'";
        }

        return context.Response.WriteAsync(isPage ? Page(why) : why);
    }

    /// <summary>The refusal as a page. It has its own style, because files of the workbench are not sent without the secret.</summary>
    private static string Page(string why) =>
        $$"""
            <!DOCTYPE html>
            <html lang="en">
            <head>
            <meta charset="utf-8">
            <meta name="viewport" content="width=device-width, initial-scale=1">
            <title>Not opened: VibeCheck workbench</title>
            <style>
            :root { color-scheme: light dark; }
            body { font: 1.05rem/1.5 system-ui, sans-serif; max-width: 38rem; margin: 2rem auto; padding: 0 1rem; }
            </style>
            </head>
            <body>
            <h1>The workbench was not opened</h1>
            <p>{{why}}</p>
            </body>
            </html>

            """;
}
