using System.Globalization;
using System.Runtime.CompilerServices;

namespace VibeCheck.Tests;

/// <summary>Sets the culture of a whole test run where VIBECHECK_TEST_CULTURE names one; compiled into every test project.</summary>
internal static class TestCulture
{
    /// <summary>Name of the requested culture; null for that of the machine.</summary>
    internal static string? Asked { get; } =
        Environment.GetEnvironmentVariable("VIBECHECK_TEST_CULTURE") is { Length: > 0 } name ? name : null;

#pragma warning disable CA2255 // The culture must be set before any test or static value is created.
    [ModuleInitializer]
#pragma warning restore CA2255
    internal static void Set()
    {
        if (Asked is not null)
        {
            CultureInfo culture = CultureInfo.GetCultureInfo(Asked);
            CultureInfo.CurrentCulture = CultureInfo.CurrentUICulture = culture;
            CultureInfo.DefaultThreadCurrentCulture = CultureInfo.DefaultThreadCurrentUICulture = culture;
        }
    }
}
