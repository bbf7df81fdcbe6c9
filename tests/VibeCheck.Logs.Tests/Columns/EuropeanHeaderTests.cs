using VibeCheck.Logs.Columns;

namespace VibeCheck.Logs.Tests.Columns;

/// <summary>Headers in German, French, Spanish, Italian, Portuguese, Dutch, Polish and Swedish, with their diacritics. The words are those
/// of common dictionaries.</summary>
public sealed class EuropeanHeaderTests
{
    [Theory]
    [InlineData("Zeit [s]", "time", "s")]
    [InlineData("Beschleunigung X [m/s²]", "acc_x", "m/s²")]
    [InlineData("Drehrate Y (°/s)", "rate_y", "deg/s")]
    [InlineData("Motor 1 Drehzahl [U/min]", "1 rpm", "rpm")]
    [InlineData("Motor 2 Temperatur [°C]", "2 motor temp", "°C")]
    [InlineData("Regler 3 Temperatur [°C]", "3 esc temp", "°C")]
    [InlineData("Motor 4 Strom [A]", "4 current", "A")]
    [InlineData("Höhe [m]", "height", "m")]
    [InlineData("Temps (s)", "time", "s")]
    [InlineData("Accélération Z (g)", "acc_z", "g")]
    [InlineData("Vitesse angulaire X (rad/s)", "rate_x", "rad/s")]
    [InlineData("Moteur 1 régime (tr/min)", "1 rpm", "rpm")]
    [InlineData("Moteur 2 température (°C)", "2 motor temp", "°C")]
    [InlineData("Moteur 3 courant (A)", "3 current", "A")]
    [InlineData("Moteur 4 commande (%)", "4 command", "%")]
    [InlineData("Tiempo [ms]", "time", "ms")]
    [InlineData("Aceleración Y [m/s2]", "acc_y", "m/s²")]
    [InlineData("Motor 1 velocidad [rpm]", "1 rpm", "rpm")]
    [InlineData("Motor 2 corriente [A]", "2 current", "A")]
    [InlineData("Tempo [s]", "time", "s")]
    [InlineData("Accelerazione X [m/s²]", "acc_x", "m/s²")]
    [InlineData("Motore 1 giri [giri/min]", "1 rpm", "rpm")]
    [InlineData("Motore 2 temperatura [°C]", "2 motor temp", "°C")]
    [InlineData("Aceleração Z [g]", "acc_z", "g")]
    [InlineData("Motor 1 rotação [rpm]", "1 rpm", "rpm")]
    [InlineData("Tijd [s]", "time", "s")]
    [InlineData("Versnelling X [m/s²]", "acc_x", "m/s²")]
    [InlineData("Motor 1 toerental [omw/min]", "1 rpm", "rpm")]
    [InlineData("Motor 2 stroom [A]", "2 current", "A")]
    [InlineData("Czas [s]", "time", "s")]
    [InlineData("Przyspieszenie X [m/s²]", "acc_x", "m/s²")]
    [InlineData("Silnik 1 obroty [obr/min]", "1 rpm", "rpm")]
    [InlineData("Silnik 2 prąd [A]", "2 current", "A")]
    [InlineData("Tid [s]", "time", "s")]
    [InlineData("Motor 1 varvtal [varv/min]", "1 rpm", "rpm")]
    public void A_header_is_understood(string header, string channel, string unit)
    {
        (Channel? found, Unit? of) = ChannelFinder.Find(header);
        Assert.Equal(
            (channel, unit),
            (found?.Show(found.MotorName ?? found.MotorNumber?.ToString(System.Globalization.CultureInfo.InvariantCulture)), of?.Symbol)
        );
    }
}
