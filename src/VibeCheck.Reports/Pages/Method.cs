using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Pages;

/// <summary>How the numbers come about, in plain words.</summary>
internal static class Method
{
    internal static Markup Flight { get; } =
        Markup.Of(
            $"""
            <p><strong>Orders.</strong> The reported speeds are integrated to the angle of each rotor. All motors and orders
            are then fitted to the three acceleration axes at once by least squares, in windows of some seconds; the rotor
            angles are refined from the fit itself. So motors that turn within 1 % of each other are still separated, and
            where no window can separate them the page gives their sum and says so. The size of an order is the rms of the
            vector sum of the three axes.</p>
            <p><strong>Temperatures.</strong> A first-order model (a rise that settles, with a time constant) is fitted to
            each unit's telemetry, driven by its load. The steady rise is what it would settle at, above ambient, at hover
            load.</p>
            <p><strong>Spectra.</strong> Power spectral densities by Welch's method over the hover time used.</p>
            <p><strong>Intervals</strong> are 95 %.</p>

            """
        );

    internal static Markup Comparison { get; } =
        Markup.Of(
            $"""
            {Flight}<p><strong>Calls.</strong> A change is called only when its interval is clear of zero and when it is
            large enough to matter. The interval holds the doubt within each flight and the doubt from one flight to the
            next; with one flight before or after, an allowance stands for the latter.</p>

            """
        );
}
