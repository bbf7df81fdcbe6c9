using System.Security.Cryptography;
using System.Text;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;

namespace VibeCheck.Workbench.Hosting;

/// <summary>The secret of one run: it stands in the address that the command prints, then in a
/// cookie. Other users and other pages do not know it.</summary>
internal sealed class DeskKey
{
    private const int Bytes = 24;
    private readonly string _secret;

    private DeskKey(string secret) => _secret = secret;

    /// <summary>Name of the key in the address.</summary>
    internal const string Query = "token";

    internal static DeskKey Create() => new(Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(Bytes)));

    /// <summary>Cookies do not tell ports apart, so the name does.</summary>
    internal static string CookieOf(HttpContext context) => $"vibecheck-desk-{context.Connection.LocalPort}";

    internal string Value => _secret;

    /// <summary>Whether a text is the secret; takes as long for a near miss as for any other.</summary>
    internal bool Fits(string? text) =>
        text is not null && CryptographicOperations.FixedTimeEquals(Encoding.UTF8.GetBytes(text), Encoding.UTF8.GetBytes(_secret));

    /// <summary>The address to open.</summary>
    internal string AddressOf(WebApplication app)
    {
        string listening = app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First();
        return $"{listening.TrimEnd('/')}/?{Query}={_secret}";
    }
}
