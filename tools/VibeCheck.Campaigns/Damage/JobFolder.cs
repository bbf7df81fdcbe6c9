using System.Globalization;
using System.Text;
using VibeCheck.Core.Airframes;
using VibeCheck.FlightMaker;
using VibeCheck.FlightMaker.Damage;

namespace VibeCheck.Campaigns.Damage;

/// <summary>One flight of a job as its owner names it.</summary>
/// <param name="Imu">IMU file, or the one wide file.</param>
/// <param name="Esc">ESC file; null where there is none.</param>
/// <param name="AmbientC">Air temperature given, °C.</param>
/// <param name="ClockOffsetS">Clock offset given, s.</param>
internal sealed record FlightEntry(string Imu, string? Esc, double? AmbientC, double? ClockOffsetS);

/// <summary>Writes jobs as a user would keep them.</summary>
internal static class JobFolder
{
    /// <summary>Writes the files of a flight into a folder.</summary>
    internal static FlightEntry WriteFlight(FlightSheets flight, string folder, string name, double? ambientC, double? clockOffsetS)
    {
        string imu = Path.Combine(folder, name + "-imu.csv"),
            esc = Path.Combine(folder, name + "-esc.csv");
        SheetWriter.Write(flight.Imu, flight.Form, imu);
        if (flight.Esc is not null)
        {
            SheetWriter.Write(flight.Esc, flight.Form, esc);
        }

        return new(imu, flight.Esc is null ? null : esc, ambientC, clockOffsetS);
    }

    /// <summary>Writes job.toml and airframe.toml; returns the path of the job.</summary>
    internal static string WriteJob(string folder, Airframe airframe, FlightEntry before, FlightEntry after, bool asStagesInWrongOrder)
    {
        File.WriteAllText(Path.Combine(folder, "airframe.toml"), SampleJob.AirframeToml(airframe));
        string text =
            "title = \"Damaged job\"\nairframe = \"airframe.toml\"\n"
            + (
                asStagesInWrongOrder
                    ? Stage("shimmed", "2026-06-02", after) + Stage("as built", "2026-05-04", before)
                    : "\n[[before]]\n" + Entry(before) + "\n[[after]]\n" + Entry(after)
            );
        string path = Path.Combine(folder, "job.toml");
        File.WriteAllText(path, text);
        return path;
    }

    private static string Stage(string name, string date, FlightEntry flight) =>
        $"\n[[stage]]\nname = \"{name}\"\ndate = \"{date}\"\n[[stage.flight]]\n{Entry(flight)}";

    private static string Entry(FlightEntry flight)
    {
        var text = new StringBuilder($"imu = \"{flight.Imu}\"\n");
        text.Append(flight.Esc is null ? "" : $"esc = \"{flight.Esc}\"\n");
        text.Append(flight.AmbientC is double c ? string.Create(CultureInfo.InvariantCulture, $"ambient_c = {c:0.0}\n") : "");
        text.Append(flight.ClockOffsetS is double s ? string.Create(CultureInfo.InvariantCulture, $"clock_offset_s = {s:0.0###}\n") : "");
        return text.ToString();
    }
}
