using System.Security.Cryptography;
using System.Text;

namespace VibeCheck.Workbench.Sharing;

/// <summary>Admits one phone: the code in the address works once and is then exchanged for a secret in a cookie.</summary>
internal sealed class ShareCode
{
    internal const string Query = "code";
    internal const string Cookie = "vibecheck-sheet";

    private readonly Lock _gate = new();
    private readonly string _secret = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(24));
    private readonly string _code = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(10));
    private volatile bool _used;

    /// <summary>The code; null after it was used.</summary>
    internal string? Code => _used ? null : _code;

    /// <summary>The content of the cookie.</summary>
    internal string Secret => _secret;

    /// <summary>Uses the code up; false for another code, or where it was used already.</summary>
    internal bool Use(string? code)
    {
        lock (_gate)
        {
            bool fits = Same(code, _code) && !_used;
            _used |= fits;
            return fits;
        }
    }

    /// <summary>Whether this is the code, and it was used already.</summary>
    internal bool WasUsed(string? code) => Same(code, _code) && _used;

    /// <summary>Whether a cookie holds the secret.</summary>
    internal bool Knows(string? cookie) => Same(cookie, _secret);

    private static bool Same(string? one, string other) =>
        one is not null && CryptographicOperations.FixedTimeEquals(Encoding.UTF8.GetBytes(one), Encoding.UTF8.GetBytes(other));
}
