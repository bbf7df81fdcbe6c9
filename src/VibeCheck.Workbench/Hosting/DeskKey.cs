using System.Security.Cryptography;
using System.Text;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;

namespace VibeCheck.Workbench.Hosting;

/// <summary>The secret of one run: it is part of the address that the command prints, then the content of
/// a cookie. Other users and other pages do not know it.</summary>
internal sealed class DeskKey
{
    private const int Bytes = 24;
    private readonly string _secret;

    private DeskKey(string secret) => _secret = secret;

    /// <summary>Name of the key in the address.</summary>
    internal const string Query = "token";

    internal static DeskKey Create() => new(Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(Bytes)));

    /// <summary>Browsers share cookies between the ports of a host, so the port is part of the name.</summary>
    internal static string CookieOf(HttpContext context) => $"vibecheck-desk-{context.Connection.LocalPort}";

    internal string Value => _secret;

    /// <summary>Whether a text is the secret; the time that it takes does not depend on where the texts differ.</summary>
    internal bool Fits(string? text) =>
        text is not null && CryptographicOperations.FixedTimeEquals(Encoding.UTF8.GetBytes(text), Encoding.UTF8.GetBytes(_secret));

    /// <summary>The address to open, with the secret in it. The server must have started.</summary>
    internal string AddressOf(WebApplication app)
    {
        string listening = app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First();
        return $"{listening.TrimEnd('/')}/?{Query}={_secret}";
    }
}
