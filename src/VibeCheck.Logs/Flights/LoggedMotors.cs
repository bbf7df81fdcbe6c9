using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Logs.Flights;

/// <summary>What the logs alone say of the aircraft: which motors they name.</summary>
public static class LoggedMotors
{
    /// <summary>An aircraft with the motors that the flights name, without their places and spins.</summary>
    /// <param name="flights">Flights of one aircraft, read without an airframe.</param>
    public static Airframe Airframe(params IReadOnlyList<Flight> flights)
    {
        ArgumentNullException.ThrowIfNull(flights);
        string[] ids =
        [
            .. flights
                .SelectMany(f => f.Motors)
                .Select(m => m.MotorId)
                .Distinct(StringComparer.OrdinalIgnoreCase)
                .OrderBy(Number)
                .ThenBy(id => id, StringComparer.OrdinalIgnoreCase),
        ];
        return Core.Airframes.Airframe.OfMotorIds("Aircraft without an airframe file", ids);
    }

    private static int Number(string id)
    {
        string digits = string.Concat(id.Reverse().TakeWhile(char.IsAsciiDigit).Reverse());
        return int.TryParse(digits, NumberStyles.None, CultureInfo.InvariantCulture, out int number) ? number : int.MaxValue;
    }
}
