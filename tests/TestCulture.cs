using System.Globalization;
using System.Runtime.CompilerServices;

namespace VibeCheck.Tests;

/// <summary>The culture that a whole test run is under, when VIBECHECK_TEST_CULTURE names one; part of every test project.</summary>
internal static class TestCulture
{
    /// <summary>Name of the culture asked for; null for that of the machine.</summary>
    internal static string? Asked { get; } =
        Environment.GetEnvironmentVariable("VIBECHECK_TEST_CULTURE") is { Length: > 0 } name ? name : null;

#pragma warning disable CA2255 // The culture must be in force before any test, and any static value, is made.
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
