using System.Globalization;
using System.Text;

namespace VibeCheck.Logs.Inputs;

/// <summary>Reads a file that people write by hand (airframe, job, columns, survey) as text, up to a size that nobody would type.</summary>
internal static class HandWrittenFile
{
    private static readonly UTF8Encoding StrictUtf8 = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    /// <summary>The whole text: UTF-8, UTF-16 or UTF-32 by its byte order mark, else UTF-8, else Latin-1.</summary>
    /// <param name="path">Path as the user gave it.</param>
    /// <param name="mostBytes">Largest size that is read.</param>
    /// <exception cref="InputFaultException">The file is missing, cannot be read, is too large, or is not text.</exception>
    internal static string Read(string path, int mostBytes)
    {
        byte[] bytes = Bytes(path, mostBytes);
        string text = Decode(bytes);
        return text.Contains('\0', StringComparison.Ordinal)
            ? throw Fault(path, "this is not text", "Name the file that you wrote, not a program or a packed file.")
            : text;
    }

    private static byte[] Bytes(string path, int mostBytes)
    {
        if (string.IsNullOrWhiteSpace(path))
        {
            throw Fault("(no name)", "no file is named", "Give the path of the file.");
        }

        if (Directory.Exists(path))
        {
            throw Fault(path, "this is a folder, not a file", "Name the file in it.");
        }

        try
        {
            // Reads up to the limit and does not use the length: a pipe or a device does not report its length.
            using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
            byte[] buffer = new byte[Math.Min(mostBytes + 1L, file.CanSeek && file.Length > 0 ? file.Length + 1 : mostBytes + 1L)];
            int got = file.ReadAtLeast(buffer, buffer.Length, throwOnEndOfStream: false);
            return got > mostBytes
                ? throw Fault(
                    path,
                    string.Create(CultureInfo.InvariantCulture, $"the file is larger than {mostBytes >> 10} kB"),
                    "No such file gets that large by hand: check that it is the right one."
                )
                : buffer[..got];
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            throw Fault(path, "there is no such file", "Check the path.");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw Fault(path, $"the file cannot be read ({e.Message.TrimEnd('.')})", "Check the path.");
        }
    }

    private static string Decode(byte[] bytes)
    {
        using var stream = new MemoryStream(bytes);
        try
        {
            using var reader = new StreamReader(stream, StrictUtf8, detectEncodingFromByteOrderMarks: true);
            return reader.ReadToEnd();
        }
        catch (DecoderFallbackException)
        {
            return Encoding.Latin1.GetString(bytes);
        }
    }

    private static InputFaultException Fault(string path, string problem, string remedy) => new(new(path, null, null, problem, remedy));
}
