using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Pages;

/// <summary>Text that explains how the numbers are calculated.</summary>
internal static class Method
{
    internal static Markup Flight { get; } =
        Markup.Of(
            $"""
            <p><strong>Orders.</strong> The reported speeds are integrated to the angle of each rotor. All motors and orders
            are then fitted to the three acceleration axes at once by least squares, and the rotor angles are corrected by
            the vibration itself. So motors that turn within 1 % of each other can be separated as their speeds drift apart;
            where they cannot, the page gives their sum and says so. The size of an order is the rms of the vector sum of
            the three axes.</p>
            <p><strong>Temperatures.</strong> A thermal model driven by the load (one body, or a quick and a slow one) is
            fitted to the telemetry of each motor and ESC. The steady rise is the temperature above ambient at which it
            would settle at hover load.</p>
            <p><strong>Spectra.</strong> Power spectral densities by Welch's method over the hover time used.</p>
            <p><strong>Intervals</strong> are 95 %.</p>

            """
        );

    internal static Markup Comparison { get; } =
        Markup.Of(
            $"""
            {Flight}<p><strong>Calls.</strong> A change is called only when its interval excludes zero, also with all tests
            made together counted, and when it is large enough to matter. The interval holds the uncertainty within each
            flight and the scatter from one flight to the next; with one flight before or after, a stated allowance stands
            for that scatter.</p>

            """
        );
}
